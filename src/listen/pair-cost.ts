import type { ExpectedStroke } from './expected.js';
import type { TimedStroke } from './timed-stroke.js';

/** What a stroke left out, or one too many, costs (ours): together more than any pair within reach, unless another pair does better. */
export const leftOut = 2.6;
export const tooMany = 2.2;
/** The spread is this share of the distance to the neighbours, within these limits in ms. */
const spreadShare = 0.07;
const [leastSpread, mostSpread] = [10, 40];
/** A chord that surely was another speaks a little against a pair; strokes come late with the old chord. */
export const wrongChord = 0.5;

/** The spread of errors to assume when the nearest neighbour is `gap` ms away, ms. */
export function spreadWhere(gap: number): number {
  return Math.min(mostSpread, Math.max(leastSpread, spreadShare * gap));
}

/** What a stroke costs that lies `off` ms from where it was predicted: far ones little more than near ones (Cauchy's distribution), since a late stroke is still that stroke. */
export function timeCost(off: number, spread: number): number {
  return Math.log(1 + 0.5 * (off / spread) ** 2);
}

/** The cost of a heard stroke whose kind or chord differs from the expected one. */
export function ownCost(expected: ExpectedStroke, heard: TimedStroke): number {
  const likely = heard.kind === expected.kind ? heard.kindSure : (1 - heard.kindSure) / 2;
  return -Math.log(Math.max(0.1, likely));
}
