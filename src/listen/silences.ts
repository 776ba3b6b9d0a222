import type { Matched } from './matched.js';

/** A stretch of which nothing was heard: its first and last bar, from 0, and how many strokes it has. */
export interface Silence {
  readonly from: number;
  readonly to: number;
  readonly strokes: number;
}

/** This many strokes in a row that were not heard are no longer slips: the hand rested, or the microphone heard nothing. */
const least = 6;

/** The stretches of a pass that were not heard. */
export function silences(strokes: readonly Matched[]): Silence[] {
  const found: Silence[] = [];
  let from = 0;
  strokes.forEach(({ heard }, index) => {
    const ends = heard !== null || index === strokes.length - 1;
    if (!ends) return;
    const to = heard === null ? index + 1 : index;
    if (to - from >= least)
      found.push({
        from: (strokes[from] as Matched).expected.bar,
        to: (strokes[to - 1] as Matched).expected.bar,
        strokes: to - from,
      });
    from = index + 1;
  });
  return found;
}
