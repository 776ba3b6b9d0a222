/*
 * What is measured of a sound, each by a rule that is stated: no rule knows how the sound was made. Times are in ms, samples
 * lie between −1 and 1.
 */

/** The largest sample, without its sign. */
export const peak = (samples: Float32Array): number =>
  samples.reduce((most, one) => Math.max(most, Math.abs(one)), 0);

/** Root of the mean square. */
export const rms = (samples: Float32Array): number =>
  Math.sqrt(samples.reduce((sum, one) => sum + one * one, 0) / Math.max(1, samples.length));

/** A piece of a sound, in ms. */
export const piece = (samples: Float32Array, rate: number, from: number, to: number): Float32Array =>
  samples.subarray(Math.round((from * rate) / 1000), Math.round((to * rate) / 1000));

/** The first sample that reaches a share of the peak, in ms. */
export function reaches(samples: Float32Array, rate: number, share: number): number {
  const level = share * peak(samples);
  return (samples.findIndex((one) => Math.abs(one) >= level) / rate) * 1000;
}

/** From a tenth of the peak to nine tenths of it. */
export const attack = (samples: Float32Array, rate: number): number =>
  reaches(samples, rate, 0.9) - reaches(samples, rate, 0.1);

/**
 * From the onset until what is left of the energy is so many dB below all of it: Schroeder's backward integration (“New Method
 * of Measuring Reverberation Time”, 1965).
 */
export function decayed(samples: Float32Array, rate: number, decibels: number): number {
  let left = samples.reduce((sum, one) => sum + one * one, 0);
  const least = left * 10 ** (-decibels / 10);
  let index = 0;
  for (; index < samples.length && left > least; index += 1) left -= (samples[index] as number) ** 2;
  return (index / rate) * 1000 - reaches(samples, rate, 0.1);
}

/** Share of a steady part in a sound, by its peak. */
export const steadyPart = (samples: Float32Array): number =>
  Math.abs(samples.reduce((sum, one) => sum + one, 0) / samples.length) / peak(samples);

/** Where the energy lies on average, hertz: the brighter, the higher. By the energy of the differences of neighbouring samples. */
export function brightness(samples: Float32Array, rate: number): number {
  let [slopes, energy] = [0, 0];
  for (let index = 1; index < samples.length; index += 1) {
    slopes += ((samples[index] as number) - (samples[index - 1] as number)) ** 2;
    energy += (samples[index] as number) ** 2;
  }
  return (Math.sqrt(slopes / energy) * rate) / (2 * Math.PI);
}

/** How strong a frequency is in a piece of a sound, with Hann's window, and its phase at the piece's middle. */
function partial(samples: Float32Array, rate: number, hertz: number): { size: number; phase: number } {
  let [real, imaginary] = [0, 0];
  const middle = (samples.length - 1) / 2;
  for (let index = 0; index < samples.length; index += 1) {
    const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * (index + 0.5)) / samples.length);
    const angle = (2 * Math.PI * hertz * (index - middle)) / rate;
    real += window * (samples[index] as number) * Math.cos(angle);
    imaginary -= window * (samples[index] as number) * Math.sin(angle);
  }
  return { size: Math.hypot(real, imaginary), phase: Math.atan2(imaginary, real) };
}

/**
 * How far a sound lies off a pitch, in cents: how the phase of its fundamental moves against a tone of that pitch, as a phase vocoder
 * has it (Flanagan and Golden, “Phase Vocoder”, 1966), by least squares over pieces of four periods, each weighed by its strength.
 */
export function centsOff(
  samples: Float32Array,
  rate: number,
  hertz: number,
  from: number,
  to: number,
): number {
  const length = Math.round((4 * rate) / hertz);
  const hop = Math.max(1, Math.round(length / 8));
  const times: number[] = [];
  const phases: number[] = [];
  const weights: number[] = [];
  const end = Math.min(samples.length, Math.round((to * rate) / 1000)) - length;
  for (let at = Math.round((from * rate) / 1000); at <= end; at += hop) {
    const { size, phase } = partial(samples.subarray(at, at + length), rate, hertz);
    const turns = phase / (2 * Math.PI) - (hertz * at) / rate;
    const before = phases.at(-1) ?? turns - Math.floor(turns);
    times.push(at / rate);
    phases.push(turns + Math.round(before - turns));
    weights.push(size * size);
  }
  const sum = (values: readonly number[]): number =>
    values.reduce((total, one, index) => total + one * (weights[index] as number), 0);
  const all = sum(times.map(() => 1));
  const [time, phase] = [sum(times) / all, sum(phases) / all];
  const slope =
    sum(times.map((one, index) => (one - time) * ((phases[index] as number) - phase))) /
    sum(times.map((one) => (one - time) ** 2));
  return 1200 * Math.log2((hertz + slope) / hertz);
}
