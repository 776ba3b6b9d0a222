import FFT from 'fft.js';

/** The window that a stroke is looked at through, seconds: about what a chop lasts, and long enough to tell semitones apart from some 500 Hz up. */
const windowSeconds = 0.09;
/** What is looked at, Hz: from below the lowest course up to where the harmonics of a plucked string fade. */
const lowest = 120;
const highest = 7000;
/** From one frequency to the next, Hz: a window's main lobe is four times as wide. */
const step = 12;
/** Magnitudes are raised to this power, so that a loud string does not hide a soft one. */
export const compression = 0.7;

/**
 * The spectrum of a stroke at equally spaced frequencies: Hann's window, filled up with silence, so that the spectrum is
 * smooth from one bin of the transform to the next.
 */
export class StrokeSpectrum {
  /** Hz of the first frequency, Hz from each to the next, and how many there are. */
  readonly lowest = lowest;
  readonly step = step;
  readonly count: number;
  /** Samples of the window, and its length in seconds. */
  readonly length: number;
  readonly seconds = windowSeconds;
  private readonly size: number;
  private readonly fft: FFT;
  private readonly out: number[];
  private readonly windowed: Float64Array;
  private readonly window: Float64Array;
  private readonly magnitudes: Float64Array;

  /** `rate` in samples a second, from 16 000. */
  constructor(private readonly rate: number) {
    this.length = Math.round(windowSeconds * rate);
    this.size = 2 ** Math.ceil(Math.log2(2 * this.length));
    this.fft = new FFT(this.size);
    this.out = this.fft.createComplexArray();
    this.windowed = new Float64Array(this.size);
    this.window = Float64Array.from(
      { length: this.length },
      (_, index) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (index + 0.5)) / this.length),
    );
    // A quarter tone above the last frequency must still be there.
    const top = Math.min(highest, 0.47 * rate);
    this.count = 1 + Math.floor((top - lowest) / step);
    this.magnitudes = new Float64Array(Math.ceil((top * 1.04 * this.size) / rate) + 2);
  }

  /** Looks at the sound from a sample on; what lies outside is silence. */
  look(samples: Float32Array, start: number): void {
    const { length, window, windowed, out, magnitudes } = this;
    for (let index = 0; index < length; index += 1)
      windowed[index] = (samples[start + index] ?? 0) * (window[index] as number);
    this.fft.realTransform(out, windowed);
    const scale = 4 / length;
    for (let bin = 0; bin < magnitudes.length; bin += 1) {
      const real = out[2 * bin] as number;
      const imaginary = out[2 * bin + 1] as number;
      magnitudes[bin] = scale * Math.sqrt(real * real + imaginary * imaginary);
    }
  }

  /** The compressed magnitudes of what was looked at, as if it were tuned lower by this many cents. */
  compressed(cents: number): Float64Array {
    const { magnitudes, count } = this;
    const perHertz = (2 ** (cents / 1200) * this.size) / this.rate;
    const compressed = new Float64Array(count);
    for (let index = 0; index < count; index += 1) {
      const place = (lowest + index * step) * perHertz;
      const bin = Math.floor(place);
      const one = magnitudes[bin] as number;
      compressed[index] = (one + ((magnitudes[bin + 1] as number) - one) * (place - bin)) ** compression;
    }
    return compressed;
  }

  /** The peaks of what was looked at, from `from` to `to` Hz: their frequencies, by a parabola through three bins, and their magnitudes. */
  peaks(from: number, to: number): { readonly hertz: number; readonly magnitude: number }[] {
    const { magnitudes, size, rate } = this;
    const found: { hertz: number; magnitude: number }[] = [];
    const last = Math.min(magnitudes.length - 2, Math.floor((to * size) / rate));
    for (let bin = Math.ceil((from * size) / rate); bin <= last; bin += 1) {
      const left = magnitudes[bin - 1] as number;
      const here = magnitudes[bin] as number;
      const right = magnitudes[bin + 1] as number;
      if (here <= left || here < right || left <= 0 || right <= 0) continue;
      const [a, b, c] = [Math.log(left), Math.log(here), Math.log(right)];
      const shift = (0.5 * (a - c)) / (a - 2 * b + c);
      found.push({ hertz: ((bin + shift) * rate) / size, magnitude: here });
    }
    return found;
  }
}
