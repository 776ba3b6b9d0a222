/** After this many strokes an earlier one counts by half. */
const halfLife = 40;
/** What stands for an instrument in tune before anything is heard, in strokes. */
const trust = 0.3;

/**
 * How sharp an instrument is against A4 = 440 Hz, from the peaks of its strokes: the mean of how far they stand from equal
 * temperament, taken round the circle of a semitone, so that it lies between −50 and 50 cents.
 */
export class InstrumentOffset {
  private x = trust;
  private y = 0;

  /** Takes the peaks of a stroke. Each stroke counts the same, its loud peaks more than its soft ones. */
  add(peaks: readonly { readonly hertz: number; readonly magnitude: number }[]): void {
    let x = 0;
    let y = 0;
    let sum = 0;
    for (const { hertz, magnitude } of peaks) {
      const turn = 2 * Math.PI * 12 * Math.log2(hertz / 440);
      x += magnitude * Math.cos(turn);
      y += magnitude * Math.sin(turn);
      sum += magnitude;
    }
    if (sum === 0) return;
    const keep = 0.5 ** (1 / halfLife);
    this.x = keep * this.x + x / sum;
    this.y = keep * this.y + y / sum;
  }

  /** Cents; positive is sharp. */
  get cents(): number {
    return (50 / Math.PI) * Math.atan2(this.y, this.x);
  }
}
