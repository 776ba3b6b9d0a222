import FFT from 'fft.js';
import { Recent } from './recent.js';

/** The delays that are considered, seconds: wireless loudspeakers may be late by a third of a second. */
const [earliest, latest] = [-0.02, 0.45];
/** How much of a sound is looked for, seconds: a click. */
const longest = 0.06;
/** This many sounds must agree. */
const fewest = 3;
/** How alike what was heard must be to them in the mean, as a normalised correlation; a single one that opens. */
const alike = 0.25;
const alikeOpening = 0.25;
/** How much more than at any place before it. */
const plain = 1.4;
/** A sound opens when none was due this long before it, seconds: what is heard before it is not the one before it. */
const opens = 0.5;
/** Of several places one of at least such a share of the best is as good; places so near to each other are one, seconds. */
const asGood = 0.8;
const near = 0.02;
/**
 * The way straight from the loudspeaker may be softer than what a wall throws back, where both are of one pitch: what is so much as strong as
 * the strongest, and so near before it, is where the sound begins. Too soon by this does no harm.
 */
const direct = 0.45;
/** A little sooner than found, seconds: what takes sounds out allows for a delay that is longer than it was told, not for a shorter one. */
const sooner = 0.001;
/** This much of what was heard is kept, seconds: a count-in, so that the way through the room may be learnt from it afterwards. */
const kept = 6;
/** After this many clicks without success only some are looked for: with headphones none is ever heard. */
const eagerly = 32;
const seldom = 8;
/** What was heard more than this many clicks ago counts little: a volume is turned up, a room falls silent. */
const remembered = 16;

interface DueClick {
  readonly sample: number;
  readonly sound: Float32Array;
  readonly opening: boolean;
}

/**
 * Finds out how much later than they are due the program's own clicks are heard: each is looked for after its time (a normalised matched
 * filter), and what is common to several is the delay; a hand that plays to the clicks is never so like them.
 */
export class OwnDelay {
  private readonly fft: FFT;
  /** Delays that are looked at, from `earliest` on, a sample apart. */
  private readonly count: number;
  private readonly heard: Recent;
  private waiting: DueClick[] = [];
  private last = Number.NEGATIVE_INFINITY;
  private seen = 0;
  private added = 0;
  /** For each delay how alike clicks and what was heard were in the mean, and how much of them was in it. */
  private readonly likeness: Float64Array;
  private readonly products: Float64Array;
  /** How alike a click was that opened. */
  private opening: Float64Array | null = null;

  /** `rate`: samples a second; `begin`: which sample of the recording is the first that it is given. */
  constructor(
    private readonly rate: number,
    private readonly begin = 0,
  ) {
    this.fft = new FFT(2 ** Math.ceil(Math.log2((latest - earliest + 2 * longest) * rate)));
    this.count = Math.round((latest - earliest) * rate);
    this.heard = new Recent(Math.round(kept * rate));
    this.likeness = new Float64Array(this.count);
    this.products = new Float64Array(this.count);
  }

  /** A click is due at a sample of the recording; in the order of their times. */
  due(sample: number, sound: Float32Array): void {
    const opening = sample - this.last > opens * this.rate;
    this.last = sample;
    this.seen += 1;
    if (this.seen > eagerly && this.seen % seldom !== 0) return;
    this.waiting.push({ sample: Math.round(sample), sound: sound.subarray(0, longest * this.rate), opening });
  }

  /** Takes the next samples; returns the delay in samples once it is plain. */
  push(samples: Float32Array): number | null {
    this.heard.push(samples);
    const end = this.begin + this.heard.end;
    for (let next = this.waiting[0]; next; next = this.waiting[0]) {
      const to = next.sample + Math.round((latest + longest) * this.rate);
      if (to > end) return null;
      this.waiting.shift();
      const from = next.sample + Math.round(earliest * this.rate);
      const { samples: heard, begin } = this.since(from);
      if (begin > from) continue;
      this.add(heard.subarray(0, to - begin), next);
      const found = this.found();
      if (found !== null) return found;
    }
    return null;
  }

  /** What was heard from a sample of the recording on, as far as it is kept, and the sample that it begins with. */
  since(sample: number): { readonly samples: Float32Array; readonly begin: number } {
    const { samples, begin } = this.heard.from(sample - this.begin);
    return { samples, begin: begin + this.begin };
  }

  private add(heard: Float32Array, { sound, opening }: DueClick): void {
    const products = this.correlation(heard, sound);
    const powers = new Float64Array(heard.length + 1);
    heard.forEach((value, at) => {
      powers[at + 1] = (powers[at] as number) + value * value;
    });
    const whole = powers[heard.length] as number;
    const own = sound.reduce((sum, value) => sum + value * value, 0);
    // Near silence is not compared: the result would only show rounding errors.
    const least = (1e-4 * whole * sound.length) / heard.length + 1e-12;
    const alikes = products.map((product, lag) => {
      const power = (powers[lag + sound.length] ?? whole) - (powers[lag] as number);
      return product / Math.sqrt(own * (power + least));
    });
    this.added += 1;
    const weight = 1 / Math.min(remembered, this.added);
    const scale = 1 / Math.sqrt(own * (whole + 1e-12));
    for (let lag = 0; lag < this.count; lag += 1) {
      this.likeness[lag] = (1 - weight) * (this.likeness[lag] as number) + weight * (alikes[lag] as number);
      this.products[lag] =
        (1 - weight) * (this.products[lag] as number) + weight * scale * (products[lag] as number);
    }
    if (opening) this.opening = alikes;
  }

  /** The products of a sound with what was heard, from delay to delay. */
  private correlation(heard: Float32Array, sound: Float32Array): Float64Array {
    const [one, other] = [this.spectrum(heard), this.spectrum(sound)];
    const product = this.fft.createComplexArray();
    for (let bin = 0; bin < product.length; bin += 2) {
      const [a, b] = [one[bin] as number, one[bin + 1] as number];
      const [c, d] = [other[bin] as number, other[bin + 1] as number];
      product[bin] = a * c + b * d;
      product[bin + 1] = b * c - a * d;
    }
    this.fft.inverseTransform(one, product);
    return Float64Array.from({ length: this.count }, (_, lag) => one[2 * lag] as number);
  }

  private spectrum(samples: Float32Array): number[] {
    const out = this.fft.createComplexArray();
    const block = new Float64Array(out.length / 2);
    block.set(samples);
    this.fft.realTransform(out, block);
    this.fft.completeSpectrum(out);
    return out;
  }

  private found(): number | null {
    if (this.added < fewest) return null;
    const score = (lag: number): number =>
      Math.abs(this.opening?.[lag] ?? 1) < alikeOpening ? 0 : Math.abs(this.likeness[lag] ?? 0);
    let best = 0;
    for (let lag = 1; lag < this.count; lag += 1) if (score(lag) > score(best)) best = lag;
    if (score(best) < alike) return null;
    // If all clicks are alike, the next one fits as well: the first place counts.
    let first = 0;
    while (score(first) < asGood * score(best)) first += 1;
    const reach = Math.round(near * this.rate);
    for (let lag = 0; lag < first - reach; lag += 1) if (plain * score(lag) > score(best)) return null;
    // What fades is like itself a little later: where most of the click is, it begins.
    let place = first;
    for (let lag = Math.max(0, first - reach); lag < first + reach; lag += 1)
      if (Math.abs(this.products[lag] ?? 0) > Math.abs(this.products[place] as number)) place = lag;
    const strongest = Math.abs(this.products[place] as number);
    let begins = Math.max(0, place - Math.round(near * this.rate));
    while (Math.abs(this.products[begins] ?? 0) < direct * strongest) begins += 1;
    return begins + (earliest - sooner) * this.rate;
  }
}
