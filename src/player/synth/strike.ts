import { noiseSource } from './noise.js';

/** What a pick or a finger makes heard of itself: noise above a frequency, that has fallen by 60 dB after this many seconds. */
export interface StrikeNoise {
  readonly above: number;
  readonly seconds: number;
  readonly level: number;
}

/** Adds the noise of a strike to samples. */
export function addStrike(samples: Float32Array, rate: number, strike: StrikeNoise, seed: number): void {
  const noise = noiseSource(seed);
  const pole = Math.exp((-2 * Math.PI * strike.above) / rate);
  const fall = 10 ** (-3 / (strike.seconds * rate));
  const length = Math.min(samples.length, Math.round(strike.seconds * rate));
  let [low, level] = [0, strike.level];
  for (let index = 0; index < length; index += 1) {
    const value = noise();
    low = (1 - pole) * value + pole * low;
    samples[index] = (samples[index] as number) + level * (value - low);
    level *= fall;
  }
}

/** Brings a sound to its end, in place: whole until the sample `from`, from there evenly down by this many decibels, at last to nothing. */
export function fadeOut(samples: Float32Array, from: number, decibels: number): void {
  const length = samples.length - from;
  for (let index = Math.max(0, from); index < samples.length; index += 1) {
    const share = (index - from) / length;
    samples[index] = (samples[index] as number) * 10 ** ((-decibels / 20) * share) * (1 - share ** 8);
  }
}

/** Brings a sound's peak to a level, in place. */
export function setPeak(samples: Float32Array, level: number): void {
  let peak = 1e-9;
  for (let index = 0; index < samples.length; index += 1)
    peak = Math.max(peak, Math.abs(samples[index] as number));
  const gain = level / peak;
  for (let index = 0; index < samples.length; index += 1) samples[index] = (samples[index] as number) * gain;
}
