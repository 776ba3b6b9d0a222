import FFT from 'fft.js';

/** Magnitudes of windows of sound, from a Hann window. One is made for a rate and a size and used again and again. */
export class Spectrum {
  /** Magnitudes of the last window: bin 0 up to half the size. */
  readonly magnitudes: Float64Array;
  private readonly fft: FFT;
  private readonly out: number[];
  private readonly windowed: Float64Array;
  private readonly window: Float64Array;

  /** `size` is a power of two, in samples. */
  constructor(readonly size: number) {
    this.fft = new FFT(size);
    this.out = this.fft.createComplexArray();
    this.windowed = new Float64Array(size);
    this.window = hann(size);
    this.magnitudes = new Float64Array(size / 2 + 1);
  }

  /**
   * Looks at `length` samples from `start`, `size` unless told; what lies outside is silence. Answers `magnitudes`, scaled so that a
   * full-scale tone has 1.
   */
  at(samples: Float32Array, start: number, length = this.size): Float64Array {
    const { size, windowed, out, magnitudes } = this;
    const window = this.windowOf(length);
    for (let index = 0; index < size; index += 1)
      windowed[index] = index < length ? (samples[start + index] ?? 0) * (window[index] as number) : 0;
    this.fft.realTransform(out, windowed);
    const scale = 4 / length;
    for (let bin = 0; bin <= size / 2; bin += 1)
      magnitudes[bin] = scale * Math.hypot(out[2 * bin] as number, out[2 * bin + 1] as number);
    return magnitudes;
  }

  private windowOf(length: number): Float64Array {
    return length === this.size ? this.window : hann(length);
  }
}

function hann(length: number): Float64Array {
  return Float64Array.from(
    { length },
    (_, index) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (index + 0.5)) / length),
  );
}
