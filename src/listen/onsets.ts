import { attackAt } from './attack.js';
import { Flux, usualFlux } from './flux.js';
import type { OwnSounds } from './own-sounds.js';

/** Something that begins to sound: the sample of its attack, and how strong it is. */
export interface Onset {
  readonly sample: number;
  readonly strength: number;
}

/** How peaks of strength are picked; times in seconds. */
export const picking = {
  /** A peak is the greatest within so long before and behind it. */
  before: 0.03,
  behind: 0.015,
  /** It rises so far above the mean of so long before it and so far above the silence of the room. */
  mean: 0.1,
  above: 0.02,
  times: 1.6,
  /** Two onsets are at least so far apart. */
  apart: 0.045,
  /** What could not be foretold of the sound rises at least so much, in power: else something ceased. */
  rise: 1.12,
};

/**
 * Finds onsets in sound that comes in pieces. An onset is told as soon as the strength has fallen behind its peak, some 45 ms
 * after it sounded. Memory is bounded: only the last half second of sound is kept.
 */
export class OnsetDetector {
  private readonly flux: Flux;
  private readonly strengths: number[] = [];
  private readonly kept: number;
  private buffer = new Float32Array(0);
  /** What may be left in it of own sounds; null when there are none. */
  private rest: Float32Array | null = null;
  /** The sample of the whole recording at which `buffer` begins. */
  private begin = 0;
  /** The next window to look at, and the window that `strengths` begins with. */
  private window = 0;
  private firstStrength = 0;
  private last = Number.NEGATIVE_INFINITY;

  constructor(
    private readonly rate: number,
    private readonly options: { readonly own?: OwnSounds } = {},
  ) {
    this.flux = new Flux(usualFlux(rate));
    this.kept = Math.round(rate / 2);
  }

  /** Takes the next samples and answers the onsets that are sure now. */
  push(samples: Float32Array): Onset[] {
    const taken = this.options.own?.taken(samples) ?? { left: samples, rest: null };
    const length = this.buffer.length + samples.length;
    if (taken.rest || this.rest) {
      const rest = new Float32Array(length);
      if (this.rest) rest.set(this.rest);
      if (taken.rest) rest.set(taken.rest, this.buffer.length);
      this.rest = rest.some((value) => value !== 0) ? rest : null;
    }
    const joined = new Float32Array(length);
    joined.set(this.buffer);
    joined.set(taken.left, this.buffer.length);
    this.buffer = joined;
    const { size, hop } = this.flux.options;
    const found: Onset[] = [];
    for (; this.window * hop + size <= this.begin + joined.length; this.window += 1) {
      this.strengths.push(this.flux.next(joined, this.window * hop - this.begin, this.rest));
      const onset = this.peak();
      if (onset) found.push(onset);
    }
    const drop = Math.min(joined.length - this.kept, this.window * hop - this.begin);
    if (drop > 0) {
      this.buffer = joined.slice(drop);
      this.rest = this.rest?.slice(drop) ?? null;
      this.begin += drop;
    }
    return found;
  }

  /** Whether the window that now has enough behind it is a peak. */
  private peak(): Onset | null {
    const { hop, size } = this.flux.options;
    const windows = (seconds: number): number => Math.max(1, Math.round((seconds * this.rate) / hop));
    const { strengths } = this;
    const at = strengths.length - 1 - windows(picking.behind);
    const keep = windows(picking.mean) + windows(picking.behind) + 2;
    const value = strengths[at];
    let onset: Onset | null = null;
    if (value !== undefined && at > 0) {
      const near = strengths.slice(Math.max(0, at - windows(picking.before)));
      const past = strengths.slice(Math.max(0, at - windows(picking.mean)), at - 1);
      const sorted = [...past].sort((one, other) => one - other);
      const median = sorted[sorted.length >> 1] ?? 0;
      const isPeak = near.every((other) => other <= value) && value > picking.above + picking.times * median;
      if (isPeak) {
        const centre = (this.firstStrength + at) * hop + size / 2;
        const attack = attackAt(this.buffer, centre - this.begin, this.rate, this.rest);
        const sample = this.begin + attack.sample;
        if (attack.rise >= picking.rise && sample - this.last >= picking.apart * this.rate) {
          this.last = sample;
          onset = { sample, strength: value, rise: attack.rise } as Onset;
        }
      }
    }
    while (strengths.length > keep) {
      strengths.shift();
      this.firstStrength += 1;
    }
    return onset;
  }
}
