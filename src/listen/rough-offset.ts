import type { ExpectedStroke } from './expected.js';
import { type TimedStroke, wasChord } from './timed-stroke.js';

/** Differences are gathered in steps of this many ms, and evened out over so many steps to each side. */
const step = 5;
const even = 6;
/** Offsets up to this many ms are considered: sound cards and wireless headphones stay far below it. */
const reach = 700;
/** How large an offset is likely to be, ms; what the strokes themselves say counts for more. */
const likely = 400;
/** The first heard strokes, this many, give the offset; later ones may have run from it. */
const first = 48;

/**
 * Roughly how many ms behind the expected strokes the heard ones come, all alike: where most differences of their times lie, strokes of
 * the same kind and chord counting most. 0 when nothing was heard.
 */
export function roughOffset(expected: readonly ExpectedStroke[], heard: readonly TimedStroke[]): number {
  const counts = new Float64Array(2 * Math.round(reach / step) + 1);
  let from = 0;
  for (const stroke of heard.slice(0, first)) {
    while (from < expected.length && (expected[from] as ExpectedStroke).at < stroke.at - reach) from += 1;
    for (let index = from; index < expected.length; index += 1) {
      const one = expected[index] as ExpectedStroke;
      const place = Math.round((stroke.at - one.at + reach) / step);
      if (place < 0) break;
      counts[place] = (counts[place] as number) + agreement(one, stroke);
    }
  }
  let best = Math.round(reach / step);
  let most = 0;
  counts.forEach((_, place) => {
    const ms = place * step - reach;
    let sum = 0;
    for (let near = -even; near <= even; near += 1)
      sum += (counts[place + near] ?? 0) * (1 - Math.abs(near) / (even + 1));
    const value = sum * Math.exp(-0.5 * (ms / likely) ** 2);
    if (value > most) [most, best] = [value, place];
  });
  return best * step - reach;
}

/** How well a heard stroke agrees in kind and chord with an expected one, 0–1. */
function agreement(expected: ExpectedStroke, heard: TimedStroke): number {
  const kind = heard.kind === expected.kind ? heard.kindSure : (1 - heard.kindSure) / 2;
  const was = wasChord(heard, expected.chord.name);
  return kind * (was === null ? 0.6 : was ? 1 : 0.3);
}
