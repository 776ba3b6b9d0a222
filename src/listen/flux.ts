import { type Bands, inBands, logBands } from './bands.js';
import { Spectrum } from './spectrum.js';

/** How the strength of onsets is taken from sound. */
export interface FluxOptions {
  /** Samples a second. */
  readonly rate: number;
  /** Length of a window in samples, a power of two. */
  readonly size: number;
  /** Samples from one window to the next. */
  readonly hop: number;
}

/** Windows of about 23 ms, five milliseconds apart, at any rate. */
export function usualFlux(rate: number): FluxOptions {
  return { rate, size: 2 ** Math.round(Math.log2(0.0232 * rate)), hop: Math.round(rate / 200) };
}

/** What is compared: the window before last, since the one before overlaps with half of this one's rise. */
const lag = 2;

/**
 * The strength of an onset in each window of sound: spectral flux over logarithmic bands, each compared with the
 * greatest of its neighbours some windows before, so that a vibrating pitch is no onset (Böck and Widmer, Maximum
 * filter vibrato suppression for onset detection, DAFx 2013).
 */
export class Flux {
  private readonly spectrum: Spectrum;
  private readonly bands: Bands;
  private readonly past: Float64Array[] = [];
  private readonly linear: Float64Array;

  constructor(readonly options: FluxOptions) {
    const { rate, size } = options;
    this.spectrum = new Spectrum(size);
    this.bands = logBands(rate, size, 90, 16_000, 24);
    this.linear = new Float64Array(this.bands.count);
  }

  /** The strength of the window that begins at a sample. Windows are given in order, `hop` apart. */
  next(samples: Float32Array, start: number): number {
    inBands(this.bands, this.spectrum.at(samples, start), this.linear);
    const now = this.linear.map((value) => Math.log10(1 + 1000 * value));
    const before = this.past.length >= lag ? (this.past[this.past.length - lag] as Float64Array) : null;
    let sum = 0;
    if (before)
      for (let band = 0; band < now.length; band += 1) {
        const most = Math.max(before[band - 1] ?? 0, before[band] as number, before[band + 1] ?? 0);
        sum += Math.max(0, (now[band] as number) - most);
      }
    this.past.push(now);
    if (this.past.length > lag) this.past.shift();
    return sum / now.length;
  }
}
