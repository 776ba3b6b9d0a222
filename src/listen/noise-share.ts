import { Spectrum } from './spectrum.js';

/** A partial stands this far above the weaker quarter of the bins round it, in power: noise does so in one bin of a hundred. */
const above = 10 ** 1.4;
/** Bins to each side that are looked at for that, and those that a partial's power falls into through the window. */
const round = 16;
const reach = 3;
/** This many bins have their surroundings in common. */
const step = 8;

/** How much of a sound is noise rather than strings that ring: the share of its power that is not in partials. */
export class NoiseShare {
  private readonly spectrum: Spectrum;

  /** `most`: samples of a sound at most. */
  constructor(most: number) {
    this.spectrum = new Spectrum(2 ** Math.floor(Math.log2(Math.max(16, most))));
  }

  /** From 0 (nothing but partials) to 1 (none). */
  of(samples: Float32Array): number {
    const powers = this.spectrum.at(samples, 0).map((magnitude) => magnitude * magnitude);
    const isTone = new Uint8Array(powers.length);
    for (let from = 0; from < powers.length; from += step) {
      const near = powers.slice(Math.max(0, from - round), from + step + round).sort();
      const least = above * (near[near.length >> 2] as number);
      for (let bin = from; bin < Math.min(from + step, powers.length); bin += 1)
        if ((powers[bin] as number) >= least) isTone.fill(1, Math.max(0, bin - reach), bin + reach + 1);
    }
    let [all, noise] = [1e-30, 0];
    powers.forEach((power, bin) => {
      all += power;
      if (isTone[bin] === 0) noise += power;
    });
    return Math.min(1, noise / all);
  }
}
