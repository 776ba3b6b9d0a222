import { median } from './estimate.js';
import type { ExpectedStroke } from './expected.js';
import { justNoticed } from './limits.js';
import { type Pairing, usualInterval } from './pairing.js';
import { type RunOff, runOff, runOffAt } from './run-off.js';
import type { TimedStroke } from './timed-stroke.js';

/** An expected stroke with what was heard of it. */
export interface Matched {
  readonly expected: ExpectedStroke;
  readonly heard: TimedStroke | null;
  /** Ms behind the beat, the constant offset taken off; less than 0: before it. `null` when not heard. */
  readonly late: number | null;
  /** The same without the drift of the hand from the click. */
  readonly lateOfOwn: number | null;
}

/** All strokes of a pass, and what is common to them. */
export interface MatchedPass {
  readonly strokes: readonly Matched[];
  /** The usual time from stroke to stroke, ms. */
  readonly interval: number;
  /** Whether the offset was known: then means are against the beat, else against the mean of all of the pass's own strokes. */
  readonly absolute: boolean;
  readonly runsOff: RunOff | null;
}

/** Takes the constant offset off, and finds whether the hand ran from the click. */
export function matchedPass(
  expected: readonly ExpectedStroke[],
  heard: readonly TimedStroke[],
  pairing: Pairing,
  offset: number | null,
): MatchedPass {
  const interval = usualInterval(expected);
  const heardOf = new Map(pairing.pairs.map((pair) => [pair.expected, heard[pair.heard] as TimedStroke]));
  const errors = expected.flatMap(({ at }, index) => {
    const stroke = heardOf.get(index);
    return stroke ? [{ at, error: stroke.at - at }] : [];
  });
  const starts = expected.filter(({ bar }, index) => bar !== expected[index - 1]?.bar).map(({ at }) => at);
  const runsOff = runOff(errors, starts, 3 * justNoticed(interval));
  const level = offset ?? (median(errors.map(({ at, error }) => error - runOffAt(runsOff, at))) || 0);
  const strokes = expected.map((stroke, index): Matched => {
    const one = heardOf.get(index) ?? null;
    const late = one ? one.at - stroke.at - level : null;
    return {
      expected: stroke,
      heard: one,
      late,
      lateOfOwn: late === null ? null : late - runOffAt(runsOff, stroke.at),
    };
  });
  return { strokes, interval, absolute: offset !== null, runsOff };
}
