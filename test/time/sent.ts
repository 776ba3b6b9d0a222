import { begin, feed, type Take } from '../../src/time/conductor.js';

/** All that the player is sent for a take, and how many milliseconds it lasts. */
export function sent(take: Take) {
  let { conductor, segments } = begin(take, 0, 0);
  const all = [...segments];
  while (conductor.next !== null) {
    const fed = feed(conductor, conductor.next.tick);
    conductor = fed.conductor;
    all.push(...fed.segments);
  }
  let ms = 0;
  for (const { tempoMap, length, skip } of all)
    for (let at = 0; at < tempoMap.length; at += 2) {
      const from = Math.max(skip, tempoMap[at] as number);
      const to = tempoMap[at + 2] ?? skip + length;
      ms += (to - from) * (tempoMap[at + 1] as number);
    }
  return { ms, segments: all };
}
