/**
 * Coefficients that predict a sample from those before it, by the Levinson–Durbin recursion over the autocorrelation of
 * `samples` from `from` up to `to`: the error is x[n] + Σ a[k]·x[n − k], with a[0] = 1. (Makhoul, Linear prediction: a
 * tutorial review, Proceedings of the IEEE 63, 1975.)
 */
export function predictor(samples: Float64Array, from: number, to: number, order: number): Float64Array {
  const likeness = new Float64Array(order + 1);
  for (let lag = 0; lag <= order; lag += 1) {
    let sum = 0;
    for (let index = from + lag; index < to; index += 1)
      sum += (samples[index] as number) * (samples[index - lag] as number);
    likeness[lag] = sum;
  }
  const coefficients = new Float64Array(order + 1);
  coefficients[0] = 1;
  // A little of white noise keeps the recursion steady where the sound is a few tones, or nothing at all.
  let error = (likeness[0] as number) * (1 + 1e-6) + 1e-12;
  const before = new Float64Array(order + 1);
  for (let step = 1; step <= order; step += 1) {
    let sum = 0;
    for (let index = 0; index < step; index += 1)
      sum += (coefficients[index] as number) * (likeness[step - index] as number);
    const reflection = -sum / error;
    before.set(coefficients);
    for (let index = 1; index <= step; index += 1)
      coefficients[index] = (before[index] as number) + reflection * (before[step - index] as number);
    error *= 1 - reflection * reflection;
  }
  return coefficients;
}

/** What a predictor did not predict of `samples` from `from` up to `to`. */
export function unforeseen(
  samples: Float64Array,
  from: number,
  to: number,
  coefficients: Float64Array,
): Float64Array {
  const errors = new Float64Array(to - from);
  for (let index = 0; index < errors.length; index += 1) {
    let sum = 0;
    for (let lag = 0; lag < coefficients.length; lag += 1)
      sum += (coefficients[lag] as number) * (samples[from + index - lag] ?? 0);
    errors[index] = sum;
  }
  return errors;
}
