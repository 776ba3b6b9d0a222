import { Spectrum } from './spectrum.js';

/** A peak of a spectrum where fundamentals lie. */
export interface Partial {
  readonly hertz: number;
  readonly strength: number;
}

/** Power spectra of short windows of sound, and the power at their frequencies; one object for each sample rate. */
export class PowerSpectra {
  private readonly spectrum: Spectrum;
  /** From one bin to the next, Hz. */
  readonly hertz: number;

  constructor(rate: number) {
    const size = 2 ** Math.ceil(Math.log2(0.09 * rate));
    this.spectrum = new Spectrum(size);
    this.hertz = rate / size;
  }

  /** The power of `length` samples from `start`. */
  at(samples: Float32Array, start: number, length: number): Float64Array {
    return this.spectrum.at(samples.subarray(start, start + length), 0, length).map((value) => value * value);
  }

  bin(hertz: number): number {
    return Math.round(hertz / this.hertz);
  }

  /** All power from `from` to `to` Hz. */
  sum(power: Float64Array, from: number, to: number): number {
    let sum = 0;
    for (let bin = this.bin(from); bin < Math.min(power.length, this.bin(to)); bin += 1)
      sum += power[bin] as number;
    return sum;
  }

  /** The share of all power that the harmonics of a fundamental explain, 0–1. */
  harmonicShare(power: Float64Array, fundamental: number): number {
    let explained = 0;
    for (let harmonic = fundamental; harmonic < 4000; harmonic += fundamental) {
      // The window's own width, or how far strings are from harmonic.
      const width = Math.max(27, 0.012 * harmonic);
      explained += this.sum(power, harmonic - width, harmonic + width);
    }
    return Math.min(1, explained / (this.sum(power, 120, 4000) + 1e-15));
  }

  /** The greatest power from `from` to `to` Hz; never 0. */
  most(power: Float64Array, from: number, to: number): number {
    let most = 1e-15;
    for (let bin = this.bin(from); bin < this.bin(to); bin += 1) most = Math.max(most, power[bin] as number);
    return most;
  }

  /** The greatest power as near to a frequency as a window can tell; never 0. */
  near(power: Float64Array, hertz: number): number {
    return this.most(power, hertz - 14, hertz + 14 + this.hertz);
  }

  /** Peaks of the spectrum where fundamentals lie, from the lowest. `most`: the greatest power there. */
  partials(power: Float64Array, most: number): Partial[] {
    const found: Partial[] = [];
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
}
