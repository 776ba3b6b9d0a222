const [firstMs, mostMs] = [200, 5000];

/**
 * How long to wait before trying to connect again: twice as long each time, up to five seconds, and shorter by chance by up to a half, so that a band whose
 * broker was restarted does not come all at once.
 */
export class Backoff {
  private tries = 0;

  /** @param chance a number from 0 to 1 */
  constructor(private readonly chance: () => number = Math.random) {}

  /** The next wait, ms. */
  next(): number {
    const ms = Math.min(mostMs, firstMs * 2 ** this.tries);
    this.tries += 1;
    return ms * (1 - 0.5 * this.chance());
  }

  /** It worked: the next wait is short again. */
  reset(): void {
    this.tries = 0;
  }
}
