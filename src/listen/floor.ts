/** The minimum of what is heard is kept for this long, seconds: a few bars, which have a gap somewhere. */
const kept = 3;
/** It is kept in this many parts, of which the oldest is dropped for a new one. */
const parts = 6;
/** What is heard is smoothed over about this long before its least is taken, seconds. */
const smooth = 0.04;
/** The mean of noise lies this far above the least of it, smoothed so. */
const meanByLeast = 1.5;

/**
 * The noise of the room in each band: the least of what was heard over the last seconds, which fingers that
 * damp the strings leave free again and again (Martin, Noise power spectral density estimation based on optimal smoothing and
 * minimum statistics, IEEE Transactions on Speech and Audio Processing 9, 2001).
 */
export class NoiseFloor {
  /** Mean magnitude of the noise in each band. */
  readonly levels: Float64Array;
  private readonly smoothed: Float64Array;
  private readonly least: Float64Array[] = [];
  private readonly perPart: number;
  private readonly share: number;
  private count = 0;

  /** `hop` is the time from one window to the next, seconds. */
  constructor(bands: number, hop: number) {
    this.levels = new Float64Array(bands);
    this.smoothed = new Float64Array(bands);
    this.perPart = Math.max(1, Math.round(kept / parts / hop));
    this.share = Math.min(1, hop / smooth);
  }

  /** Takes the magnitudes of the next window. */
  hear(magnitudes: Float64Array): void {
    const { smoothed, least, levels, share } = this;
    for (let band = 0; band < smoothed.length; band += 1) {
      const past = smoothed[band] as number;
      smoothed[band] =
        this.count === 0
          ? (magnitudes[band] as number)
          : past + share * ((magnitudes[band] as number) - past);
    }
    if (this.count % this.perPart === 0) {
      least.push(smoothed.slice());
      if (least.length > parts) least.shift();
    }
    this.count += 1;
    const now = least[least.length - 1] as Float64Array;
    for (let band = 0; band < smoothed.length; band += 1) {
      now[band] = Math.min(now[band] as number, smoothed[band] as number);
      let lowest = now[band] as number;
      for (const one of least) lowest = Math.min(lowest, one[band] as number);
      levels[band] = meanByLeast * lowest;
    }
  }
}
