/** The mean and the spread of errors, with the intervals in which the truth lies with a probability of 95 %. */
export interface Estimate {
  readonly mean: number;
  /** Standard deviation. */
  readonly spread: number;
  /** The true mean is within this distance of `mean`. */
  readonly meanWithin: number;
  /** The spread lies from … to … */
  readonly spreadFrom: number;
  readonly spreadTo: number;
  /** Errors that were used, and single ones far outside that were left out. */
  readonly count: number;
  readonly outside: number;
}

/** The fewest errors that an estimate is made of. */
export const fewest = 4;
/** What lies this many standard deviations from the median, by the median of deviations, is a miss of its own (Huber, Robust Statistics, 1981). */
const far = 3.5;
/** A normal deviate lies within the median of absolute deviations times this as often as within one standard deviation. */
const perMedian = 1.4826;
/** A correlation is taken to be there from this many of its standard deviations on, which chance reaches once in fifteen passes. */
const surely = 1.5;
/** The normal quantile of 97.5 %. */
const z = 1.959964;

/**
 * Mean and spread of errors in the order of their times; `null` of fewer than four. Single errors far outside are left out. Where errors
 * follow the ones before them (a correlation that is hardly chance), the interval is wider, by the number of independent ones that they are worth
 * (Bayley and Hammersley, The "effective" number of independent observations in an autocorrelated time series, 1946).
 * `offset` is the standard deviation of what was taken off all errors alike.
 */
export function estimate(errors: readonly number[], offset = 0): Estimate | null {
  if (errors.length < fewest) return null;
  const middle = median(errors);
  const scale = perMedian * median(errors.map((error) => Math.abs(error - middle)));
  // Where most errors are alike to the microsecond, nothing is far.
  const kept = scale > 1e-6 ? errors.filter((error) => Math.abs(error - middle) <= far * scale) : errors;
  const count = kept.length;
  const mean = kept.reduce((sum, error) => sum + error, 0) / count;
  const squares = kept.reduce((sum, error) => sum + (error - mean) ** 2, 0);
  const free = count - 1;
  const spread = Math.sqrt(squares / free);
  const correlation = squares > 0 ? lagOne(kept, mean) / squares : 0;
  const worth = correlation > surely / Math.sqrt(count) ? (1 - correlation) / (1 + correlation) : 1;
  return {
    mean,
    spread,
    meanWithin: Math.hypot((studentQuantile(free) * spread) / Math.sqrt(count * worth), z * offset),
    spreadFrom: Math.sqrt(squares / chiSquareQuantile(free, z)),
    spreadTo: Math.sqrt(squares / chiSquareQuantile(free, -z)),
    count,
    outside: errors.length - count,
  };
}

function lagOne(values: readonly number[], mean: number): number {
  return values
    .slice(1)
    .reduce((sum, value, index) => sum + (value - mean) * ((values[index] as number) - mean), 0);
}

/** Student's quantile of 97.5 % (expansion of Cornish and Fisher; Abramowitz and Stegun, 26.7.5), within 1 % from three degrees of freedom on. */
export function studentQuantile(free: number): number {
  const terms = [
    (z ** 3 + z) / 4,
    (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96,
    (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384,
  ];
  return terms.reduce((sum, term, index) => sum + term / free ** (index + 1), z);
}

/** A quantile of chi square, by the normal quantile `at` (Wilson and Hilferty 1931), within 1 % from nine degrees of freedom on at 2.5 and 97.5 %. */
export function chiSquareQuantile(free: number, at: number): number {
  const part = 2 / (9 * free);
  return free * Math.max(1e-3, 1 - part + at * Math.sqrt(part)) ** 3;
}

/** The middle of numbers; of an even count the mean of the two middle ones; NaN of none. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((one, other) => one - other);
  const half = sorted.length >> 1;
  const upper = sorted[half] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? Number.NaN) + upper) / 2;
}
