/** From one sample of a partial to the next, seconds: so it holds 50 Hz to each side. */
const hop = 0.01;
/** The window that singles a partial out, seconds: its neighbours, 98 Hz away on the lowest course of a mandocello an octave up, are 40 dB below. */
const windowSeconds = 0.05;

/** A piece of sound: its first sample, the sample after its last, samples a second. */
export interface Span {
  readonly start: number;
  readonly end: number;
  readonly rate: number;
}

/** A partial of a tone as it goes on: what is near a frequency, turned down to 0 Hz. */
export class Partial {
  readonly real: Float64Array;
  readonly imaginary: Float64Array;
  /** Seconds from one sample to the next. */
  private readonly hop: number;
  /** The sum of its squares. */
  readonly energy: number;

  /** What is near `hertz` in the samples from `start` up to `end`. */
  constructor(
    samples: Float32Array,
    { start, end, rate }: Span,
    readonly hertz: number,
  ) {
    const length = Math.round(windowSeconds * rate);
    // A whole number of samples, and the hop that this really is.
    const step = Math.round(hop * rate);
    this.hop = step / rate;
    const count = Math.max(0, 1 + Math.floor((end - start - length) / step));
    this.real = new Float64Array(count);
    this.imaginary = new Float64Array(count);
    const turn = (-2 * Math.PI * hertz) / rate;
    const window = Float64Array.from(
      { length },
      (_, index) => 1 - Math.cos((2 * Math.PI * (index + 0.5)) / length),
    );
    let energy = 0;
    for (let at = 0; at < count; at += 1) {
      const from = start + at * step;
      let x = 0;
      let y = 0;
      for (let index = 0; index < length; index += 1) {
        const value = (samples[from + index] as number) * (window[index] as number);
        const phase = turn * (from - start + index);
        x += value * Math.cos(phase);
        y += value * Math.sin(phase);
      }
      this.real[at] = x;
      this.imaginary[at] = y;
      energy += x * x + y * y;
    }
    this.energy = energy;
  }

  /**
   * What is left of the partial, as a share of its energy, when one or two tones that fade alike are taken away as well as
   * can be: at `one` and `other` Hz from its own frequency, falling by this many nepers a second. Their strengths and phases
   * follow by least squares (Rife and Boorstyn, Multiple tone parameter estimation from discrete-time observations, 1976).
   */
  left(one: number, other: number, fall: number): number {
    const [first, second] = [this.projected(one, fall), this.projected(other, fall)];
    const count = this.real.length;
    let gram = 0;
    let crossReal = 0;
    let crossImaginary = 0;
    for (let at = 0; at < count; at += 1) {
      const time = at * this.hop;
      const weight = Math.exp(-2 * fall * time);
      const phase = 2 * Math.PI * (other - one) * time;
      gram += weight;
      crossReal += weight * Math.cos(phase);
      crossImaginary += weight * Math.sin(phase);
    }
    const cross = crossReal ** 2 + crossImaginary ** 2;
    const determinant = gram * gram - cross;
    const power = first.x ** 2 + first.y ** 2;
    if (one === other || determinant < 1e-9 * gram * gram) return Math.max(0, 1 - power / gram / this.energy);
    const powers = power + second.x ** 2 + second.y ** 2;
    // The conjugate of the first, times the second, times the product of the two tones.
    const mixedReal = first.x * second.x + first.y * second.y;
    const mixedImaginary = first.x * second.y - first.y * second.x;
    const mixed = mixedReal * crossReal - mixedImaginary * crossImaginary;
    return Math.max(0, 1 - (gram * powers - 2 * mixed) / determinant / this.energy);
  }

  /** Where the partial is strongest within `reach` Hz round its own frequency: Hz against it. */
  strongest(reach: number, fall: number): number {
    const step = 0.25 / (this.real.length * this.hop);
    const count = Math.ceil(reach / step);
    const power = (index: number): number => {
      const { x, y } = this.projected(index * step, fall);
      return x * x + y * y;
    };
    let top = -count;
    let most = 0;
    for (let index = -count; index <= count; index += 1) {
      const here = power(index);
      if (here <= most) continue;
      most = here;
      top = index;
    }
    const [left, right] = [power(top - 1), power(top + 1)];
    const curve = left - 2 * most + right;
    return step * (top + (curve < 0 ? (0.5 * (left - right)) / curve : 0));
  }

  /** The product of the partial and a tone that fades. */
  private projected(hertz: number, fall: number): { x: number; y: number } {
    const { real, imaginary } = this;
    const turn = -2 * Math.PI * hertz * this.hop;
    const keep = Math.exp(-fall * this.hop);
    const c = keep * Math.cos(turn);
    const s = keep * Math.sin(turn);
    let x = 0;
    let y = 0;
    let u = 1;
    let v = 0;
    for (let at = 0; at < real.length; at += 1) {
      const a = real[at] as number;
      const b = imaginary[at] as number;
      x += a * u - b * v;
      y += a * v + b * u;
      const next = u * c - v * s;
      v = u * s + v * c;
      u = next;
    }
    return { x, y };
  }
}
