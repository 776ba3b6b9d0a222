/** Virtual time, clocks that are off, and ways that delay, lose, reorder and double what is sent. */

/** Numbers from 0 to 1 that a seed decides (mulberry32). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** What happens in true time, ms, in order. */
export class World {
  now = 0;
  private queue: { readonly at: number; readonly order: number; readonly run: () => void }[] = [];
  private order = 0;

  at(time: number, run: () => void): void {
    const at = Math.max(time, this.now);
    const one = { at, order: this.order++, run };
    // From the end: most of what is put in comes soon, and late ones are few.
    let place = this.queue.length;
    while (place > 0 && (this.queue[place - 1] as typeof one).at > at) place -= 1;
    this.queue.splice(place, 0, one);
  }

  every(ms: number, run: () => void): void {
    const again = (): void => {
      run();
      this.at(this.now + ms, again);
    };
    this.at(this.now + ms, again);
  }

  advance(to: number): void {
    for (let next = this.queue[0]; next && next.at <= to; next = this.queue[0]) {
      this.queue.shift();
      this.now = next.at;
      next.run();
    }
    this.now = to;
  }
}

/** A machine's monotonic clock: what it shows in true time. It may be put elsewhere by a sleep. */
export class MachineClock {
  private slept = 0;

  constructor(
    private readonly world: World,
    private readonly offset: number,
    private readonly drift: number,
  ) {}

  read(): number {
    return this.of(this.world.now);
  }

  of(time: number): number {
    return this.offset + time * (1 + this.drift) - this.slept;
  }

  /** The true time at which it shows this. */
  when(shown: number): number {
    return (shown + this.slept - this.offset) / (1 + this.drift);
  }

  /** It stood still for so long. */
  sleep(ms: number): void {
    this.slept += ms;
  }
}

/** A way from one machine to another, one direction. */
export interface Way {
  /** The shortest time, and up to how much longer it takes, ms. */
  readonly delay: number;
  readonly jitter: number;
  readonly loss: number;
  readonly doubled: number;
  /** Whether what was sent later may come earlier. */
  readonly reorders: boolean;
}

/** What was lost on a connection is sent again after so long, ms. */
const resendMs = 200;

/** One way, in use. */
export class Wire {
  cut = false;
  private latest = 0;
  private loses = true;

  constructor(
    private readonly world: World,
    private readonly way: Way,
    private readonly random: () => number,
  ) {}

  /** From now on nothing is lost. */
  lossless(): void {
    this.loses = false;
    this.cut = false;
  }

  /** What is `kept` is sent until it arrives, as by TCP: 200 ms later, and again; unless the way reorders, what comes after it waits. The rest is lost. */
  send(deliver: () => void, kept = false): void {
    const { delay, jitter, loss, doubled, reorders } = this.way;
    const lost = this.random() < loss && this.loses;
    // What comes after a lost piece of a connection waits for it.
    const again = lost && kept && !reorders && !this.cut ? resendMs : 0;
    if (this.cut || (lost && again === 0)) {
      if (kept) this.world.at(this.world.now + resendMs, () => this.send(deliver, true));
      return;
    }
    const copies = this.random() < doubled ? 2 : 1;
    for (let copy = 0; copy < copies; copy += 1) {
      const arrives = this.world.now + again + delay + jitter * this.random();
      const at = reorders ? arrives : Math.max(arrives, this.latest);
      this.latest = Math.max(at, this.latest);
      this.world.at(at, () => {
        if (!this.cut) deliver();
        else if (kept) this.send(deliver, true);
      });
    }
  }
}

/** The share of values that a figure is not above. */
export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((one, other) => one - other);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}
