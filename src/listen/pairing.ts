import type { ExpectedStroke } from './expected.js';
import { type Pair, PairSearch } from './pair-search.js';
import { roughOffset } from './rough-offset.js';
import type { TimedStroke } from './timed-stroke.js';

/** Which heard stroke was meant for which expected one. */
export interface Pairing {
  /** In the order of their times; each stroke once at most. */
  readonly pairs: readonly Pair[];
  /** Expected strokes that were not heard, and heard ones that nothing was expected for. */
  readonly unheard: readonly number[];
  readonly extra: readonly number[];
}

/**
 * Pairs expected and heard strokes, both in the order of their times: one to one, in order, by the least cost over all of the pass. `offset`: ms that the heard
 * ones come later, all alike, when that is known.
 */
export function pairStrokes(
  expected: readonly ExpectedStroke[],
  heard: readonly TimedStroke[],
  offset: number | null = null,
): Pairing {
  const search = new PairSearch(expected, heard, offset ?? roughOffset(expected, heard));
  const pairs = search.pairs();
  const [paired, used] = [new Set(pairs.map((one) => one.expected)), new Set(pairs.map((one) => one.heard))];
  return {
    pairs,
    unheard: expected.flatMap((_, index) => (paired.has(index) ? [] : [index])),
    extra: heard.flatMap((_, index) => (used.has(index) ? [] : [index])),
  };
}

/** The time from one stroke of the pass to the next that is usual in it, ms, upstrokes left out; 500 where there is none. */
export function usualInterval(expected: readonly ExpectedStroke[]): number {
  const times = expected.filter(({ kind }) => kind !== 'up').map(({ at }) => at);
  const gaps = times.slice(1).map((at, index) => at - (times[index] as number));
  const sorted = gaps.filter((gap) => gap > 1).sort((one, other) => one - other);
  return sorted[sorted.length >> 1] ?? 500;
}
