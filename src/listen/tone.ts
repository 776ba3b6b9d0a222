import { strongestPitches } from './pitches.js';
import { PowerSpectra } from './power-spectra.js';

/** What is heard of the notes of one stroke. Octaves are counted from A4 (440 Hz); decibels are below all of its sound. */
export interface Tone {
  /** The lower of its two strongest pitches, octaves. */
  readonly lowest: number;
  /** The strongest pitch, Hz. */
  readonly strongest: number;
  /** The lowest partial that is no weak one, octaves. */
  readonly partial: number;
  /** How strong the second and the third pitch are beside the first. */
  readonly second: number;
  readonly third: number;
  /** The share of the sound that the harmonics of one pitch explain, and what is left of it, evened out, without the strongest pitch. */
  readonly single: number;
  readonly left: number;
  /** Sound below 400 Hz, dB. */
  readonly low: number;
  /** How even the spectrum is from 150 to 3000 Hz: the logarithm of its geometric by its arithmetic mean. */
  readonly even: number;
}

/** Looks at windows of sound; one is made for a rate. */
export class ToneReader {
  readonly spectra: PowerSpectra;

  /** `rate`: samples a second. */
  constructor(rate: number) {
    this.spectra = new PowerSpectra(rate);
  }

  /** The tone of `length` samples from `start`, of which what sounded before, `before` samples up to `start`, is taken off. */
  read(samples: Float32Array, start: number, length: number, before: number): Tone {
    const { spectra } = this;
    const power = spectra.at(samples, start, length);
    if (before > 0) {
      const past = spectra.at(samples, Math.max(0, start - before), Math.min(start, before));
      for (let bin = 0; bin < power.length; bin += 1)
        power[bin] = Math.max(0, (power[bin] as number) - (past[bin] as number));
    }
    const most = spectra.most(power, 140, 1300);
    const partials = spectra.partials(power, most);
    const pitched = strongestPitches(spectra, power);
    return {
      lowest: octaves(Math.min(pitched.first, pitched.second > 0.35 ? pitched.other : pitched.first)),
      strongest: pitched.first,
      partial: octaves(Math.min(880, partials.find(({ strength }) => strength > 0.05 * most)?.hertz ?? 880)),
      second: pitched.second,
      third: pitched.third,
      single: Math.max(
        0,
        ...partials
          .filter(({ strength }) => strength > 0.02 * most)
          .map(({ hertz }) => spectra.harmonicShare(power, hertz)),
      ),
      left: pitched.left,
      low: Math.max(
        -25,
        10 * Math.log10((spectra.sum(power, 120, 400) + 1e-15) / (spectra.sum(power, 120, 6000) + 1e-15)),
      ),
      even: this.even(power, most),
    };
  }

  private even(power: Float64Array, most: number): number {
    let [logs, sum] = [0, 0];
    const [from, to] = [this.spectra.bin(150), this.spectra.bin(3000)];
    for (let bin = from; bin < to; bin += 1) {
      const value = (power[bin] as number) + 1e-4 * most;
      logs += Math.log(value);
      sum += value;
    }
    return logs / (to - from) - Math.log(sum / (to - from));
  }
}

function octaves(hertz: number): number {
  return Math.log2(hertz / 440);
}
