/** A limit: this much a second in the long run, and this much at once. */
export interface Allowance {
  readonly perSecond: number;
  readonly atOnce: number;
}

/** Counts what was taken of an allowance (a token bucket). Times are ms of any clock that runs on. */
export class Bucket {
  private left: number;
  private last: number | null = null;

  constructor(private readonly allowance: Allowance) {
    this.left = allowance.atOnce;
  }

  /** Takes an amount; returns whether it was still allowed. */
  take(much: number, at: number): boolean {
    const { perSecond, atOnce } = this.allowance;
    if (this.last !== null) this.left = Math.min(atOnce, this.left + (perSecond * (at - this.last)) / 1000);
    this.last = at;
    this.left -= much;
    return this.left >= 0;
  }
}
