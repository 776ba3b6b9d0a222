/** Lowest differences are kept of each stretch of this many ms, and of this many stretches. */
const stretchMs = 1000;
const stretches = 30;
/** A card's clock may run faster or slower than ours by this share at most. */
const mostDrift = 0.001;
/** Stretches that must be known before drift is estimated: over less, the card's steps hide it. */
const enough = 6;

/**
 * Ties a sound card's clock to the monotonic one. The card's clock is read in steps of its buffer, so what is seen lags
 * by up to a buffer; the smallest lag of each second lies near the truth, and how these smallest ones move is the drift.
 */
export class CardClock {
  private readonly times = new Float64Array(stretches);
  private readonly lags = new Float64Array(stretches);
  private count = 0;
  private stretchEnd = Number.NEGATIVE_INFINITY;
  private offset = Number.NaN;
  private offsetTime = 0;
  private drift = 0;

  /** Takes in that the card stood at `card` seconds when the monotonic clock said `now` ms. */
  look(now: number, card: number): void {
    const lag = now - card * 1000;
    const last = (this.count + stretches - 1) % stretches;
    if (now >= this.stretchEnd) {
      this.stretchEnd = now + stretchMs;
      this.times[this.count % stretches] = now;
      this.lags[this.count % stretches] = lag;
      this.count += 1;
    } else if (lag < (this.lags[last] as number)) {
      this.times[last] = now;
      this.lags[last] = lag;
    }
    this.estimate(now);
  }

  /** Whether the card has been looked at. */
  get known(): boolean {
    return this.count > 0;
  }

  /** The card's time in seconds for a time on the monotonic clock. */
  cardTime(time: number): number {
    return (time - (this.offset + (time - this.offsetTime) * this.drift)) / 1000;
  }

  /** How much slower the card runs than the monotonic clock, in millionths. */
  get driftPpm(): number {
    return this.drift * 1e6;
  }

  private estimate(now: number): void {
    const known = Math.min(this.count, stretches);
    // The newest stretch is not complete yet, so its smallest lag may still be far off.
    if (known > enough) this.drift = this.slope(known);
    let low = Number.POSITIVE_INFINITY;
    for (let index = 0; index < known; index += 1) {
      const lag = (this.lags[index] as number) + (now - (this.times[index] as number)) * this.drift;
      if (lag < low) low = lag;
    }
    this.offset = low;
    this.offsetTime = now;
  }

  /** How the smallest lags move, by least squares over the complete stretches. */
  private slope(known: number): number {
    const newest = (this.count - 1) % stretches;
    let count = 0;
    let time = 0;
    let lag = 0;
    for (let index = 0; index < known; index += 1) {
      if (index === newest) continue;
      count += 1;
      time += this.times[index] as number;
      lag += this.lags[index] as number;
    }
    const [middle, level] = [time / count, lag / count];
    let above = 0;
    let below = 0;
    for (let index = 0; index < known; index += 1) {
      if (index === newest) continue;
      const away = (this.times[index] as number) - middle;
      above += away * ((this.lags[index] as number) - level);
      below += away * away;
    }
    const slope = below > 0 ? above / below : 0;
    return Math.max(-mostDrift, Math.min(mostDrift, slope));
  }
}
