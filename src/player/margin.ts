/** How long before a deadline the coarse timer should fire, at least and at most, ms. */
export const leastMargin = 3;
const mostMargin = 8;

/**
 * How long before a deadline the coarse timer is set, ms: as much as timers have lately been late, and a little. From there
 * the deadline is waited for exactly.
 */
export class Margin {
  ms = leastMargin;

  /** A timer fired, this many ms after it was due: one that was late makes the next fire earlier, at once. */
  fired(late: number): void {
    const wanted = Math.min(mostMargin, Math.max(leastMargin, late + 1));
    this.ms = wanted > this.ms ? wanted : this.approach(wanted);
  }

  /** A deadline was met without a timer: where they are close together none is set, and what was learned must fade too. */
  met(): void {
    this.ms = this.approach(leastMargin);
  }

  private approach(wanted: number): number {
    return this.ms * 0.95 + wanted * 0.05;
  }
}
