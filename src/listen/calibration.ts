import { estimate, median } from './estimate.js';

/** How long sound takes from when it is due at the output until it is heard, times in ms. */
export interface RoundTrip {
  /** The centre of what was heard (Hodges and Lehmann's estimate): single outliers do not move it, and it is nearly as steady as a mean. */
  readonly ms: number;
  /** Standard deviation, without outliers. */
  readonly spreadMs: number;
  /** How much it grows in a minute; 0 if sound card and clock run at the same rate. */
  readonly driftMs: number;
  /** From the first that was heard to the last. */
  readonly overMs: number;
  /** How many were heard, of how many. */
  readonly heard: number;
  readonly made: number;
}

export interface RoundTripOptions {
  /** The round trips that are considered, ms: less than the time between two sounds. */
  readonly from: number;
  readonly to: number;
  /** Round trips this close to each other belong together, ms: a few for clicks, the spread of a hand for chops. */
  readonly within: number;
}

/** The fewest sounds that will do, and their least share of all that were made. */
const fewest = 6;
const leastShare = 0.5;

/**
 * The round trip of sounds that were due, from when something was heard; both in the order of their times. Other sounds may be heard
 * between them: what most have in common is the round trip. `null` when too few have it.
 */
export function roundTrip(
  due: readonly number[],
  heard: readonly number[],
  { from, to, within }: RoundTripOptions,
): RoundTrip | null {
  const all = due
    .flatMap((one) => heard.map((at) => at - one).filter((ms) => ms >= from && ms < to))
    .sort((one, other) => one - other);
  let [most, middle] = [0, 0];
  let end = 0;
  all.forEach((first, index) => {
    while (end < all.length && (all[end] as number) <= first + 2 * within) end += 1;
    if (end - index <= most) return;
    [most, middle] = [end - index, median(all.slice(index, end))];
  });
  const pairs = due.flatMap((one) => {
    const near = heard.reduce(
      (best, at) => (Math.abs(at - one - middle) < Math.abs(best - one - middle) ? at : best),
      Number.POSITIVE_INFINITY,
    );
    return Math.abs(near - one - middle) <= within ? [{ at: one, ms: near - one }] : [];
  });
  if (pairs.length < fewest || pairs.length < leastShare * due.length) return null;
  const trips = pairs.map((one) => one.ms);
  return {
    ms: middleOf(trips),
    spreadMs: estimate(trips)?.spread ?? Number.NaN,
    driftMs: 60_000 * slopeOf(pairs),
    overMs: (pairs.at(-1)?.at ?? 0) - (pairs[0]?.at ?? 0),
    heard: pairs.length,
    made: due.length,
  };
}

/** The median of the means of all pairs, each number with itself too (Hodges and Lehmann, Estimates of location based on rank tests, 1963). */
function middleOf(values: readonly number[]): number {
  return median(values.flatMap((one, index) => values.slice(index).map((other) => (one + other) / 2)));
}

/** The median of the slopes of all pairs of points (Theil 1950, Sen 1968): single ones far off do not move it. */
function slopeOf(points: readonly { readonly at: number; readonly ms: number }[]): number {
  return median(
    points.flatMap((one, index) =>
      points.slice(index + 1).map((other) => (other.ms - one.ms) / (other.at - one.at)),
    ),
  );
}
