import FFT from 'fft.js';

/** What is heard of a sound begins at most this long before it is due and ends this long after it would in the open, seconds. */
const early = 0.004;
const late = 0.05;
/** The room may make a sound so many times as strong, in power, before anything is known of it. */
const firstVariance = 4;
/** Between two sounds the way through the room changes by such a share of its power. */
const change = 1e-3;

/** The noise of the room is evened out over so many bins to each side. */
const reach = 8;

/**
 * The way from loudspeaker to microphone, learnt in the bins of a spectrum from sounds that are known: each bin has the mean and
 * the variance of a factor, and is brought nearer to what is heard as far as what else sounds allows (a Kalman filter; Enzner and
 * Vary, Frequency-domain adaptive Kalman filter for acoustic echo control, Signal Processing 86, 2006).
 */
export class Room {
  /** Samples of a block: what a piece of sound with its reverberation fits in. */
  readonly size: number;
  /** Samples that a piece may have. */
  readonly piece: number;
  /** Samples of a block before its piece begins. */
  readonly lead: number;
  /** Samples that echoes last. */
  readonly echo: number;
  /** Blocks that were learnt from. */
  learnt = 0;
  private readonly fft: FFT;
  private readonly factor: number[];
  private readonly variance: Float64Array;
  /** Power in each bin of what else sounds, over the last blocks. */
  private readonly others: Float64Array;

  constructor(rate: number) {
    this.size = 2 ** Math.round(Math.log2(0.19 * rate));
    this.lead = Math.round(early * rate);
    this.echo = Math.round(late * rate);
    this.piece = this.size - Math.round((2 * early + late) * rate);
    this.fft = new FFT(this.size);
    this.factor = new Array(2 * this.size).fill(0) as number[];
    this.variance = new Float64Array(this.size).fill(firstVariance);
    this.others = new Float64Array(this.size);
  }

  /** The spectrum of a piece of sound that begins `lead` samples into its block. */
  spectrum(piece: Float32Array): number[] {
    const block = new Float64Array(this.size);
    block.set(piece.subarray(0, this.piece), this.lead);
    return this.transformed(block);
  }

  /** What will be heard of a sound, from its spectrum: a block, and the share of its amplitude that may be wrong. */
  heard(sound: readonly number[]): { samples: Float32Array; unsure: number } {
    const product = this.fft.createComplexArray();
    let [known, unknown] = [1e-20, 1e-20];
    for (let bin = 0; bin < this.size; bin += 1) {
      const [real, imaginary] = [sound[2 * bin] as number, sound[2 * bin + 1] as number];
      const [a, b] = [this.factor[2 * bin] as number, this.factor[2 * bin + 1] as number];
      product[2 * bin] = real * a - imaginary * b;
      product[2 * bin + 1] = real * b + imaginary * a;
      const power = real * real + imaginary * imaginary;
      known += power * (a * a + b * b);
      unknown += power * (this.variance[bin] as number);
    }
    const samples = Float32Array.from(this.real(product));
    return { samples, unsure: Math.min(1, Math.sqrt(unknown / known)) };
  }

  /**
   * Learns from what was left of a block when what was predicted had been taken away. `noise`: a block in which nothing but
   * the room sounds, when the sound was heard alone; null when somebody may have played.
   */
  learn(sound: readonly number[], left: Float64Array, noise: Float64Array | null): void {
    const { factor, variance, others, size } = this;
    const error = this.transformed(left);
    const alone = noise && smoothPower(this.transformed(noise));
    for (let bin = 0; bin < size; bin += 1) {
      const [x, y] = [sound[2 * bin] as number, sound[2 * bin + 1] as number];
      const [e, f] = [error[2 * bin] as number, error[2 * bin + 1] as number];
      const power = x * x + y * y;
      const all = e * e + f * f;
      const expected = power * (variance[bin] as number);
      const beside = alone ? (alone[bin] as number) : Math.max(others[bin] as number, all);
      const gain = (variance[bin] as number) / (expected + beside + 1e-12);
      factor[2 * bin] = (factor[2 * bin] as number) + gain * (x * e + y * f);
      factor[2 * bin + 1] = (factor[2 * bin + 1] as number) + gain * (x * f - y * e);
      variance[bin] = (variance[bin] as number) * (1 - gain * power);
      others[bin] = 0.8 * (others[bin] as number) + 0.2 * all;
    }
    this.shorten();
    for (let bin = 0; bin < size; bin += 1)
      variance[bin] =
        (variance[bin] as number) +
        change * ((factor[2 * bin] as number) ** 2 + (factor[2 * bin + 1] as number) ** 2);
    this.learnt += 1;
  }

  /** Leaves of the way through the room what arrives in time. */
  private shorten(): void {
    const response = this.real(this.factor);
    response.fill(0, this.echo, this.size - this.lead);
    const shortened = this.transformed(response);
    for (let index = 0; index < shortened.length; index += 1) this.factor[index] = shortened[index] as number;
  }

  private transformed(samples: Float64Array): number[] {
    const out = this.fft.createComplexArray();
    this.fft.realTransform(out, samples);
    this.fft.completeSpectrum(out);
    return out;
  }

  private real(spectrum: readonly number[]): Float64Array {
    const out = this.fft.createComplexArray();
    this.fft.inverseTransform(out, spectrum);
    return Float64Array.from({ length: this.size }, (_, index) => out[2 * index] as number);
  }
}

/** The power in each bin, evened out over its neighbours. */
function smoothPower(spectrum: readonly number[]): Float64Array {
  const size = spectrum.length / 2;
  const sums = new Float64Array(size + 1);
  for (let bin = 0; bin < size; bin += 1)
    sums[bin + 1] =
      (sums[bin] as number) + (spectrum[2 * bin] as number) ** 2 + (spectrum[2 * bin + 1] as number) ** 2;
  return Float64Array.from({ length: size }, (_, bin) => {
    const [from, to] = [Math.max(0, bin - reach), Math.min(size, bin + reach + 1)];
    return ((sums[to] as number) - (sums[from] as number)) / (to - from);
  });
}
