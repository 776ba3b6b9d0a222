import { median } from './estimate.js';

/** An error at a time, both in ms. */
export interface TimedError {
  readonly at: number;
  readonly error: number;
}

/** A hand whose tempo leaves the click: from a time on the error grows by this much for each ms (less than 0: it runs ahead). */
export interface RunOff {
  readonly from: number;
  readonly slope: number;
}

/** The fewest errors that tell it, in all and after the place where it begins. */
const [fewest, fewestBehind] = [12, 6];
/** This much better than a level must a bent line be: the F statistic of two more parameters, for one place in a hundred tried and a chance of 1 in 10 000 (ours). */
const surely = 14;
/** This many places are tried at most, evenly over the pass. */
const mostPlaces = 64;
/** What lies this many spreads from the line is left out once. */
const far = 3.5;

/**
 * Where and how fast a hand runs from the click: a level up to a place and a line from there on, by least squares over all places
 * (Hinkley, Inference about the intersection in two-phase regression, Biometrika 56, 1969). `null` where a level does as well, or where the
 * line comes to less than `least` ms at its end. `places`: where it may begin, such as the bars' starts.
 */
export function runOff(
  errors: readonly TimedError[],
  places: readonly number[],
  least: number,
): RunOff | null {
  const once = bent(errors, places);
  if (!once) return null;
  const rest = errors.map(({ at, error }) => error - valueAt(once, at));
  const middle = median(rest);
  const scale = 1.4826 * median(rest.map((one) => Math.abs(one - middle)));
  const kept = errors.filter((_, index) => Math.abs((rest[index] as number) - middle) <= far * scale + 1);
  const found = bent(kept, places);
  const end = errors.at(-1)?.at ?? 0;
  if (!found || found.gain < surely || Math.abs(found.slope) * (end - found.from) < least) return null;
  return { from: found.from, slope: found.slope };
}

/** What a hand that runs off is behind at a time, beside its level, ms. */
export function runOffAt(run: RunOff | null, at: number): number {
  return run ? run.slope * Math.max(0, at - run.from) : 0;
}

/** How many beats a minute faster the hand is than the click of `bpm` at the end; less than 0: slower. */
export function tempoGained({ slope }: RunOff, bpm: number): number {
  return bpm / (1 + slope) - bpm;
}

interface Bent extends RunOff {
  readonly level: number;
  readonly gain: number;
}

function valueAt({ level, slope, from }: Bent, at: number): number {
  return level + slope * Math.max(0, at - from);
}

function bent(errors: readonly TimedError[], places: readonly number[]): Bent | null {
  const count = errors.length;
  if (count < fewest) return null;
  const last = errors[count - fewestBehind]?.at ?? 0;
  const mean = errors.reduce((sum, { error }) => sum + error, 0) / count;
  const whole = errors.reduce((sum, { error }) => sum + (error - mean) ** 2, 0);
  let best: Bent | null = null;
  const every = Math.ceil(places.length / mostPlaces);
  for (const from of places.filter((_, index) => index % every === 0)) {
    if (from > last) continue;
    // Least squares of error on the time after the place.
    const behind = errors.map(({ at }) => Math.max(0, at - from));
    const meanBehind = behind.reduce((sum, one) => sum + one, 0) / count;
    let [squares, products] = [0, 0];
    behind.forEach((one, index) => {
      squares += (one - meanBehind) ** 2;
      products += (one - meanBehind) * ((errors[index] as TimedError).error - mean);
    });
    if (squares === 0) continue;
    const slope = products / squares;
    const left = whole - slope * products;
    const gain = (whole - left) / 2 / (left / (count - 3) + 1e-9);
    if (!best || gain > best.gain) best = { from, slope, level: mean - slope * meanBehind, gain };
  }
  return best;
}
