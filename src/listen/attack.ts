import { predictor, unforeseen } from './linear-prediction.js';

/** How far before and after a rough place the attack is looked for, seconds. */
const before = 0.025;
const behind = 0.012;
/** The sound that the predictor learns from begins this long before the rough place, seconds, and ends a few milliseconds after it. */
const learnt = 0.045;
const learntBehind = -0.017;
/** What may be left of own sounds is averaged over this long to each side, seconds. */
const spread = 0.001;
/** Samples that predict the next one: enough for the strongest tones of what still rings. */
const order = 16;
/** The share at each end of the range in which no attack is looked for: variances there come from too few samples. */
const margin = 0.05;

/** Where a stroke begins, in samples, and how much stronger the unpredicted part of the sound is after it than before. */
export interface Attack {
  readonly sample: number;
  readonly rise: number;
}

/**
 * The sample at which a stroke begins, looked for round a rough place: what still rings is taken away by linear prediction, and
 * the place is taken that best divides the rest into two stretches, each with one variance (the place of least Akaike
 * information; Sleeman and van Eck, Robust automatic P-phase picking, Physics of the Earth and Planetary Interiors 113, 1999).
 * `rest` is what the same samples may have of own sounds; that is not an attack.
 */
export function attackAt(
  samples: Float32Array,
  rough: number,
  rate: number,
  rest: Float32Array | null = null,
): Attack {
  const from = Math.round(rough - before * rate);
  const to = Math.min(samples.length, Math.round(rough + behind * rate));
  const begin = Math.max(0, Math.round(rough - learnt * rate));
  const range = Float64Array.from(samples.subarray(begin, Math.max(begin, to)));
  const learntTo = Math.min(range.length, Math.round(rough + learntBehind * rate) - begin);
  const coefficients = predictor(range, 0, learntTo, order);
  const first = Math.max(from, begin + order) - begin;
  if (range.length - first < 8) return { sample: Math.round(rough), rise: 1 };
  const errors = unforeseen(range, first, range.length, coefficients);
  if (rest) {
    const beside = unforeseen(
      Float64Array.from(rest.subarray(begin, begin + range.length)),
      first,
      range.length,
      coefficients,
    );
    evenOut(errors, beside, Math.max(8, learntTo - first), Math.round(spread * rate));
  }
  const { place, rise } = changeOfVariance(errors);
  return { sample: begin + first + place, rise };
}

/** Weakens errors where own sounds may be left in them, so that these do not stand out of the first `calm` errors. */
function evenOut(errors: Float64Array, beside: Float64Array, calm: number, reach: number): void {
  let quiet = 1e-14;
  for (let index = 0; index < calm; index += 1) quiet += (errors[index] as number) ** 2 / calm;
  const sums = new Float64Array(beside.length + 1);
  for (let index = 0; index < beside.length; index += 1)
    sums[index + 1] = (sums[index] as number) + (beside[index] as number) ** 2;
  for (let index = 0; index < errors.length; index += 1) {
    const [from, to] = [Math.max(0, index - reach), Math.min(beside.length, index + reach + 1)];
    const power = ((sums[to] as number) - (sums[from] as number)) / (to - from);
    errors[index] = (errors[index] as number) / Math.sqrt(1 + power / quiet);
  }
}

/** The place that best divides the errors into two stretches, each with a variance of its own. */
function changeOfVariance(errors: Float64Array): { place: number; rise: number } {
  const { length } = errors;
  const sums = new Float64Array(length + 1);
  for (let index = 0; index < length; index += 1)
    sums[index + 1] = (sums[index] as number) + (errors[index] as number) ** 2;
  const all = sums[length] as number;
  // Below this a variance is nothing: digital silence has no logarithm.
  const least = 1e-12 + (1e-7 * all) / length;
  let [best, place] = [Number.POSITIVE_INFINITY, 0];
  for (let index = Math.ceil(margin * length); index < (1 - margin) * length; index += 1) {
    const earlier = (sums[index] as number) / index;
    const later = (all - (sums[index] as number)) / (length - index);
    const information = index * Math.log(earlier + least) + (length - index) * Math.log(later + least);
    if (information < best) [best, place] = [information, index];
  }
  const earlier = (sums[place] as number) / place + least;
  return { place, rise: ((all - (sums[place] as number)) / (length - place) + least) / earlier };
}
