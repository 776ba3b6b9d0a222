// What came through the pipes of a band, beside each other. Times are ms.
import { messagesOf } from './clock-midi.mjs';

/** When the clicks were struck. */
export function clicksOf(batches) {
  const struck = messagesOf(batches).filter(({ kind }) => kind.startsWith('on 9 '));
  // A beat may be several notes.
  return struck
    .map(({ time }) => time)
    .filter((time, index, all) => index === 0 || time - all[index - 1] > 20);
}

/** How far each click is from the nearest of the leader's. Both are in order. */
export function apartOf(leader, clicks) {
  let at = 0;
  return clicks.map((time) => {
    while (at + 1 < leader.length && Math.abs(leader[at + 1] - time) <= Math.abs(leader[at] - time)) at += 1;
    return Math.abs((leader[at] ?? Number.NaN) - time);
  });
}

/** The times between them. */
export function gapsOf(clicks) {
  return clicks.slice(1).map((time, index) => time - clicks[index]);
}

/** How many notes have begun and not ended. */
export function hangingOf(batches) {
  const open = new Set();
  for (const { kind } of messagesOf(batches)) {
    const [what, ...key] = kind.split(' ');
    if (what === 'on') open.add(key.join(' '));
    if (what === 'off') open.delete(key.join(' '));
  }
  return open.size;
}

/** The value that a share of them is not above; NaN without any. */
export function percentile(values, share) {
  const sorted = [...values].sort((one, other) => one - other);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}
