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
    this.window = Float64Array.from({ length: size }, (_, index) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (index + 0.5)) / size));
    this.magnitudes = new Float64Array(size / 2 + 1);
  }

  /** Looks at `size` samples from `start`; what lies outside is silence. Answers `magnitudes`, scaled so that a full-scale tone has 1. */
  at(samples: Float32Array, start: number): Float64Array {
    const { size, window, windowed, out, magnitudes } = this;
    for (let index = 0; index < size; index += 1)
      windowed[index] = (samples[start + index] ?? 0) * (window[index] as number);
    this.fft.realTransform(out, windowed);
    const scale = 4 / size;
    for (let bin = 0; bin <= size / 2; bin += 1)
      magnitudes[bin] = scale * Math.hypot(out[2 * bin] as number, out[2 * bin + 1] as number);
    return magnitudes;
  }
}
