import { attackAt } from './attack.js';
import { Flux, usualFlux } from './flux.js';
import type { OwnSounds } from './own-sounds.js';
import { Recent } from './recent.js';

/** Something that begins to sound: the sample of its attack, and how strong it is. */
export interface Onset {
  readonly sample: number;
  readonly strength: number;
}

/** This much sound before a peak is looked at for the place of its attack, seconds. */
const around = 0.06;

/** How peaks of strength are picked; times in seconds. */
export const picking = {
  /** A peak is the greatest within this long before and after it. */
  before: 0.03,
  behind: 0.015,
  /** It rises this far above the mean of this long before it and this far above the silence of the room. */
  mean: 0.1,
  above: 0.02,
  times: 1.6,
  /** Sound at the very beginning of a recording is not an onset: what came before is not known. */
  begin: 0.06,
  /** Two onsets are at least this far apart. */
  apart: 0.045,
  /** What could not be predicted of the sound rises at least this much, in power: else something ceased. */
  rise: 1.12,
  /** ... and more when its onset is weaker than this: strings that are damped spread their sound, which looks a little like one. */
  weak: 0.08,
  weakRise: 1.26,
};

/**
 * Finds onsets in sound that comes in pieces. An onset is reported as soon as the strength has fallen below its peak, at most
 * 60 ms after it sounded. Memory is bounded: only the last sound is kept.
 */
export class OnsetDetector {
  /** What was heard, own sounds taken off, for those who look closer. */
  readonly heard: Recent;
  /** What may be left of own sounds in it. */
  private readonly rest: Recent | null;
  private readonly flux: Flux;
  private readonly strengths: number[] = [];
  /** The next window to look at, and the window that `strengths` begins with. */
  private window = 0;
  private firstStrength = 0;
  private last = Number.NEGATIVE_INFINITY;
  /** The last sample at which something may be left of an own sound. */
  private restUntil = Number.NEGATIVE_INFINITY;

  /** `rate`: samples a second; `own`: the sounds that this program makes itself. */
  constructor(
    private readonly rate: number,
    private readonly options: { readonly own?: OwnSounds } = {},
  ) {
    this.flux = new Flux(usualFlux(rate));
    this.heard = new Recent(Math.round(1.2 * rate));
    this.rest = options.own ? new Recent(Math.round(1.2 * rate)) : null;
  }

  /** Takes the next samples and answers the onsets that are sure now. */
  push(samples: Float32Array): Onset[] {
    const { size, hop } = this.flux.options;
    const found: Onset[] = [];
    // A long piece is taken in short ones: what is kept stays as short, and nothing is dropped unseen.
    for (let from = 0; from < samples.length; from += size) {
      this.take(samples.subarray(from, from + size));
      for (; this.window * hop + size <= this.heard.end; this.window += 1) {
        this.strengths.push(this.strength(this.window * hop, size));
        const onset = this.peak();
        if (onset) found.push(onset);
      }
    }
    return found;
  }

  private take(samples: Float32Array): void {
    const { own } = this.options;
    if (!own) {
      this.heard.push(samples);
      return;
    }
    const { left, rest } = own.taken(samples);
    this.heard.push(left);
    this.rest?.push(rest ?? new Float32Array(samples.length));
    if (rest) this.restUntil = this.heard.end;
  }

  private strength(start: number, size: number): number {
    const { samples } = this.heard.from(start);
    const rest = this.rest && start < this.restUntil ? this.rest.from(start).samples.subarray(0, size) : null;
    return this.flux.next(samples, 0, rest);
  }

  /** Whether the window that now has enough after it is a peak. */
  private peak(): Onset | null {
    const { hop, size } = this.flux.options;
    const windows = (seconds: number): number => Math.max(1, Math.round((seconds * this.rate) / hop));
    const { strengths } = this;
    const at = strengths.length - 1 - windows(picking.behind);
    const keep = windows(picking.mean) + windows(picking.behind) + 2;
    const value = strengths[at];
    let onset: Onset | null = null;
    if (value !== undefined && this.firstStrength + at >= windows(picking.begin)) {
      const near = strengths.slice(Math.max(0, at - windows(picking.before)));
      const past = strengths.slice(Math.max(0, at - windows(picking.mean)), at - 1);
      const sorted = [...past].sort((one, other) => one - other);
      const median = sorted[sorted.length >> 1] ?? 0;
      const isPeak = near.every((other) => other <= value) && value > picking.above + picking.times * median;
      if (isPeak) {
        const centre = (this.firstStrength + at) * hop + size / 2;
        const { samples, begin } = this.heard.from(centre - around * this.rate);
        const rest = this.rest && begin < this.restUntil ? this.rest.from(begin).samples : null;
        const attack = attackAt(samples, centre - begin, this.rate, rest);
        const sample = begin + attack.sample;
        const rise = value < picking.weak ? picking.weakRise : picking.rise;
        if (attack.rise >= rise && sample - this.last >= picking.apart * this.rate) {
          this.last = sample;
          onset = { sample, strength: value };
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
