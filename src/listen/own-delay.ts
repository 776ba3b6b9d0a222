import FFT from 'fft.js';

/** Delays that are thought of, seconds: loudspeakers without wires are late by a third of one. */
const [earliest, latest] = [-0.02, 0.45];
/** Of a sound so much is looked for, seconds: a click. */
const longest = 0.06;
/** So many sounds must agree. */
const fewest = 3;
/** How alike what was heard must be to them in the mean, as a normalised correlation; a single one that opens. */
const alike = 0.25;
const alikeOpening = 0.3;
/** How much more than at any other place. */
const plain = 1.4;
/** A sound opens when none was due so long before it, seconds: what comes before is not the one before it. */
const opens = 0.5;
/** Places that lie nearer to each other than this are one, seconds. */
const near = 0.012;
/** A little sooner than found, seconds: what takes sounds out allows for a delay that is longer than it was told, not for a shorter one. */
const sooner = 0.001;

/**
 * Finds out how much later than they are due the program's own clicks are heard: each is looked for behind its time (a normalised matched
 * filter), and what is common to several is the delay; a hand that plays to the clicks is never so like them.
 */
export class OwnDelay {
  private readonly fft: FFT;
  private readonly count: number;
  private kept = new Float32Array(0);
  private waiting: { readonly sample: number; readonly sound: Float32Array; readonly opening: boolean }[] =
    [];
  private last = Number.NEGATIVE_INFINITY;
  private sums: Float64Array;
  private opening: Float64Array | null = null;
  private added = 0;

  /** `rate`: samples a second; `begin`: which sample of the recording is the first that it is given. */
  constructor(
    private readonly rate: number,
    private begin = 0,
  ) {
    this.fft = new FFT(2 ** Math.ceil(Math.log2((latest - earliest + 2 * longest) * rate)));
    this.count = Math.round((latest - earliest) * rate);
    this.sums = new Float64Array(this.count);
  }

  /** A click is due at a sample of the recording; in the order of their times. */
  due(sample: number, sound: Float32Array): void {
    const opening = sample - this.last > opens * this.rate;
    this.last = sample;
    this.waiting.push({ sample: Math.round(sample), sound: sound.subarray(0, longest * this.rate), opening });
  }

  /** Takes the next samples; answers the delay in samples once it is plain. */
  push(samples: Float32Array): number | null {
    this.keep(samples);
    const end = this.begin + this.kept.length;
    for (let next = this.waiting[0]; next; next = this.waiting[0]) {
      const to = next.sample + (latest + longest) * this.rate;
      if (to > end) return null;
      this.waiting.shift();
      const from = next.sample + Math.round(earliest * this.rate) - this.begin;
      if (from < 0) continue;
      this.add(this.kept.subarray(from, Math.round(to) - this.begin), next.sound, next.opening);
      const found = this.found();
      if (found !== null) return found;
    }
    return null;
  }

  private keep(samples: Float32Array): void {
    const most = Math.ceil((latest - earliest + longest + 0.3) * this.rate);
    const joined = new Float32Array(this.kept.length + samples.length);
    joined.set(this.kept);
    joined.set(samples, this.kept.length);
    const dropped = Math.max(0, joined.length - most - samples.length);
    this.kept = joined.subarray(dropped);
    this.begin += dropped;
  }

  private add(heard: Float32Array, sound: Float32Array, opening: boolean): void {
    const values = this.likeness(heard, sound);
    this.added += 1;
    // What was heard long ago counts less: a volume is turned up, a room falls silent.
    for (let lag = 0; lag < this.count; lag += 1)
      this.sums[lag] =
        (this.sums[lag] as number) +
        ((values[lag] as number) - (this.sums[lag] as number)) / Math.min(16, this.added);
    if (opening) this.opening = values;
  }

  /** How alike a sound and what was heard are, from lag to lag: −1 to 1. */
  private likeness(heard: Float32Array, sound: Float32Array): Float64Array {
    const [product, one, other] = [0, 1, 2].map(() => this.fft.createComplexArray()) as [
      number[],
      number[],
      number[],
    ];
    const size = product.length / 2;
    const block = (samples: Float32Array): number[] => {
      const real = new Array<number>(size).fill(0);
      samples.forEach((value, at) => {
        real[at] = value;
      });
      return real;
    };
    this.fft.realTransform(one, block(heard));
    this.fft.completeSpectrum(one);
    this.fft.realTransform(other, block(sound));
    this.fft.completeSpectrum(other);
    for (let bin = 0; bin < 2 * size; bin += 2) {
      const [a, b] = [one[bin] as number, one[bin + 1] as number];
      const [c, d] = [other[bin] as number, other[bin + 1] as number];
      product[bin] = a * c + b * d;
      product[bin + 1] = b * c - a * d;
    }
    this.fft.inverseTransform(one, product);
    const sums = new Float64Array(heard.length + 1);
    heard.forEach((value, at) => {
      sums[at + 1] = (sums[at] as number) + value * value;
    });
    const own = sound.reduce((sum, value) => sum + value * value, 0);
    // What is all but silent is not compared: its likeness would be that of rounding.
    const least = 1e-6 * ((sums[heard.length] as number) / heard.length) * sound.length + 1e-12;
    return Float64Array.from({ length: this.count }, (_, lag) => {
      const power = (sums[Math.min(heard.length, lag + sound.length)] as number) - (sums[lag] as number);
      return (one[2 * lag] as number) / Math.sqrt(own * (power + least));
    });
  }

  private found(): number | null {
    if (this.added < fewest) return null;
    const { sums, opening, rate } = this;
    const score = (lag: number): number =>
      opening && Math.abs(opening[lag] as number) < alikeOpening ? 0 : Math.abs(sums[lag] as number);
    let best = 0;
    for (let lag = 1; lag < this.count; lag += 1) if (score(lag) > score(best)) best = lag;
    // Of clicks that are all alike the next one is found as well: the first place counts.
    let first = 0;
    while (score(first) < 0.8 * score(best)) first += 1;
    let peak = first;
    for (let lag = first; lag < Math.min(this.count, first + 0.003 * rate); lag += 1)
      if (score(lag) > score(peak)) peak = lag;
    let elsewhere = 0;
    for (let lag = 0; lag < peak - near * rate; lag += 1) elsewhere = Math.max(elsewhere, score(lag));
    if (score(peak) < alike || score(peak) < plain * elsewhere) return null;
    return peak + (earliest - sooner) * rate;
  }
}
