import { type Bands, inBands, logBands } from './bands.js';
import { NoiseFloor } from './floor.js';
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

/** What is compared: the window 15 ms before, since those between overlap with half of this one’s rise. */
const lag = 3;
/** A rise counts as far as it goes above the noise of its band: this many times its mean. */
const overNoise = 1.5;
/** ... and above what lies this far below the loudest band of the last strokes: an amplitude ratio. */
const belowLoudest = 0.005;
/** ... and above what may be left of own sounds: this many times that. */
const overRest = 3;
/** The loudest of the last strokes counts for half after this long, seconds. */
const forgotten = 6;
/** Least magnitude that counts as sound: below the noise of 16 bits. */
const leastSound = 3e-5;

/**
 * The strength of an onset in each window of sound: spectral flux over logarithmic bands, each compared with the
 * greatest of its neighbours some windows before, so that a vibrating pitch is no onset (Böck and Widmer, Maximum
 * filter vibrato suppression for onset detection, DAFx 2013). Magnitudes are divided by the noise of the room and the level of the
 * playing, both followed, before their logarithm is taken (Stowell and Plumbley, Adaptive whitening for improved
 * real-time audio onset detection, ICMC 2007): the strength does not depend on the gain of the microphone.
 */
export class Flux {
  private readonly spectrum: Spectrum;
  private readonly bands: Bands;
  readonly floor: NoiseFloor;
  private readonly past: Float64Array[] = [];
  private readonly beside: Float64Array;
  private readonly forget: number;
  private loudest = 0;

  constructor(readonly options: FluxOptions) {
    const { rate, size, hop } = options;
    this.spectrum = new Spectrum(size);
    this.bands = logBands(rate, size, 90, 16_000, 12);
    this.floor = new NoiseFloor(this.bands.count, hop / rate);
    this.beside = new Float64Array(this.bands.count);
    this.forget = 0.5 ** (hop / rate / forgotten);
  }

  /**
   * The strength of the window that begins at a sample. Windows are given in order, `hop` apart. `rest` is sound that the same
   * samples may hold beside: what rises no further than that is no onset.
   */
  next(samples: Float32Array, start: number, rest: Float32Array | null = null): number {
    const { past, floor } = this;
    const now = past.length > lag ? (past.shift() as Float64Array) : new Float64Array(this.bands.count);
    inBands(this.bands, this.spectrum.at(samples, start), now);
    floor.hear(now);
    if (rest) inBands(this.bands, this.spectrum.at(rest, start), this.beside);
    else this.beside.fill(0);
    let most = 0;
    for (let band = 0; band < now.length; band += 1) most = Math.max(most, now[band] as number);
    this.loudest = Math.max(most, this.loudest * this.forget);
    const before = past[past.length - lag] ?? null;
    let sum = 0;
    if (before)
      for (let band = 0; band < now.length; band += 1) {
        const beside = this.beside[band] as number;
        const unit = Math.max(
          leastSound,
          overRest * beside,
          overNoise * (floor.levels[band] as number),
          belowLoudest * this.loudest,
        );
        const greatest = Math.max(before[band - 1] ?? 0, before[band] as number, before[band + 1] ?? 0);
        const value = now[band] as number;
        if (value > greatest) sum += Math.log10((unit + value) / (unit + greatest));
      }
    past.push(now);
    return sum / now.length;
  }
}
