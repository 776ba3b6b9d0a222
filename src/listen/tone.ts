import { Spectrum } from './spectrum.js';

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

/** The highest frequency at which harmonics are looked for, Hz. */
const top = 4500;
/** Pitches that are tried: from B2 up four octaves in eighths of a tone. */
const pitches = Array.from({ length: 153 }, (_, step) => 123.5 * 2 ** (step / 48));

/** Looks at windows of sound; one is made for a rate. */
export class ToneReader {
  private readonly spectrum: Spectrum;
  private readonly hertz: number;

  constructor(rate: number) {
    const size = 2 ** Math.ceil(Math.log2(0.09 * rate));
    this.spectrum = new Spectrum(size);
    this.hertz = rate / size;
  }

  /** The tone of `length` samples from `start`, of which what sounded before, `before` samples up to `start`, is taken off. */
  read(samples: Float32Array, start: number, length: number, before: number): Tone {
    const power = this.power(samples, start, length);
    if (before > 0) {
      const past = this.power(samples, Math.max(0, start - before), Math.min(start, before));
      for (let bin = 0; bin < power.length; bin += 1)
        power[bin] = Math.max(0, (power[bin] as number) - (past[bin] as number));
    }
    const most = this.most(power, 140, 1300);
    const partials = this.partials(power, most);
    const pitched = this.pitched(power);
    return {
      lowest: octaves(Math.min(pitched.first, pitched.second > 0.35 ? pitched.other : pitched.first)),
      strongest: pitched.first,
      partial: octaves(Math.min(880, partials.find(({ strength }) => strength > 0.05 * most)?.hertz ?? 880)),
      second: pitched.second,
      third: pitched.third,
      single: this.single(
        power,
        partials.filter(({ strength }) => strength > 0.02 * most),
      ),
      left: pitched.left,
      low: Math.max(
        -25,
        10 * Math.log10((this.sum(power, 120, 400) + 1e-15) / (this.sum(power, 120, 6000) + 1e-15)),
      ),
      even: this.even(power, most),
    };
  }

  private power(samples: Float32Array, start: number, length: number): Float64Array {
    return this.spectrum.at(samples.subarray(start, start + length), 0, length).map((value) => value * value);
  }

  private bin(hertz: number): number {
    return Math.round(hertz / this.hertz);
  }

  private sum(power: Float64Array, from: number, to: number): number {
    let sum = 0;
    for (let bin = this.bin(from); bin < Math.min(power.length, this.bin(to)); bin += 1)
      sum += power[bin] as number;
    return sum;
  }

  private most(power: Float64Array, from: number, to: number): number {
    let most = 1e-15;
    for (let bin = this.bin(from); bin < this.bin(to); bin += 1) most = Math.max(most, power[bin] as number);
    return most;
  }

  /** Peaks of the spectrum where fundamentals lie, from the lowest. */
  private partials(power: Float64Array, most: number): { hertz: number; strength: number }[] {
    const found: { hertz: number; strength: number }[] = [];
    const reach = Math.max(2, this.bin(21));
    for (let bin = this.bin(140); bin < this.bin(1300); bin += 1) {
      const strength = power[bin] as number;
      if (strength < 0.01 * most) continue;
      let peak = true;
      for (let near = bin - reach; near <= bin + reach && peak; near += 1)
        peak =
          near < bin ? strength > (power[near] as number) : near === bin || strength >= (power[near] ?? 0);
      if (peak) found.push({ hertz: bin * this.hertz, strength });
    }
    return found;
  }

  private single(power: Float64Array, partials: readonly { hertz: number }[]): number {
    const all = this.sum(power, 120, 4000) + 1e-15;
    let most = 0;
    for (const { hertz } of partials) {
      let explained = 0;
      for (let harmonic = hertz; harmonic < 4000; harmonic += hertz)
        explained += this.sum(power, harmonic - this.width(harmonic), harmonic + this.width(harmonic));
      most = Math.max(most, explained / all);
    }
    return Math.min(1, most);
  }

  /** How far to each side of a harmonic its sound lies, Hz: the window's own width, or how far strings are from harmonic. */
  private width(hertz: number): number {
    return Math.max(27, 0.012 * hertz);
  }

  /** The three strongest pitches, one after the other, each taken off before the next (Klapuri, Multiple fundamental frequency estimation by summing harmonic amplitudes, ISMIR 2006). */
  private pitched(power: Float64Array): {
    first: number;
    other: number;
    second: number;
    third: number;
    left: number;
  } {
    const most = this.most(power, 100, top);
    const limit = this.bin(top);
    const level = Float64Array.from(
      { length: limit },
      (_, bin) => Math.max(0, (power[bin] as number) / most - 1e-4) ** 0.25,
    );
    const all = square(level) + 1e-12;
    const near = (hertz: number, width: number): number => {
      let greatest = 0;
      const to = Math.min(limit - 1, Math.floor((hertz + width) / this.hertz));
      for (let bin = Math.ceil((hertz - width) / this.hertz); bin <= to; bin += 1)
        greatest = Math.max(greatest, level[bin] as number);
      return greatest;
    };
    const strengths: number[] = [];
    const found: number[] = [];
    let left = 1;
    for (let round = 0; round < 3; round += 1) {
      let [best, pitch] = [-1, pitches[0] as number];
      for (const hertz of pitches) {
        let sum = 0;
        for (let harmonic = 1; harmonic <= 8 && harmonic * hertz < top; harmonic += 1) {
          const between = harmonic * hertz > 250 ? near((harmonic - 0.5) * hertz, 6.5) : 0;
          sum += 0.85 ** (harmonic - 1) * (near(harmonic * hertz, 13) - 0.35 * between);
        }
        sum *= 0.4 + near(hertz, 16);
        if (sum > best) [best, pitch] = [sum, hertz];
      }
      strengths.push(best);
      found.push(pitch);
      for (let harmonic = pitch; harmonic < top; harmonic += pitch) {
        const width = Math.max(32, 0.012 * harmonic);
        const to = Math.min(limit - 1, Math.floor((harmonic + width) / this.hertz));
        for (let bin = Math.ceil((harmonic - width) / this.hertz); bin <= to; bin += 1)
          level[bin] = 0.15 * (level[bin] as number);
      }
      if (round === 0) left = square(level) / all;
    }
    const [one, two, three] = strengths as [number, number, number];
    const beside = (value: number): number => Math.max(0, value) / Math.max(1e-9, one);
    return {
      first: found[0] as number,
      other: found[1] as number,
      second: beside(two),
      third: beside(three),
      left,
    };
  }

  private even(power: Float64Array, most: number): number {
    let [logs, sum] = [0, 0];
    const [from, to] = [this.bin(150), this.bin(3000)];
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

function square(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
}
