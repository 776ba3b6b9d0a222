/*
 * The leader's clock as a line over our own: an offset and a drift, from exchanges of four time stamps (RFC 5905, “Network Time Protocol
 * Version 4”, section 8), of which those with the smallest round trips count most (section 10, clock filter). All times are ms.
 */

/** What one exchange shows: at `at` (ours, its middle) the leader's clock was `offset` ahead, give or take half of `delay`. */
export interface ClockSample {
  readonly at: number;
  readonly offset: number;
  /** The round trip, without the time the leader took to answer. */
  readonly delay: number;
}

/** The leader's clock: at `at` of ours it is `offset` ahead, and gains `drift` ms on ours each ms. */
export interface ClockLine {
  readonly at: number;
  readonly offset: number;
  readonly drift: number;
  /** The offset is not farther off than this at `at`, however unlike the two ways were; later it may be more (`errorAt`). */
  readonly error: number;
}

/** Crystals are within 100 parts in a million of their rate (as their makers state): two of them within twice that. */
const mostDrift = 2e-4;

/** What reading two clocks adds to a sample, ms (standard deviation). */
const stampDeviation = 0.1;
/** The share of what a round trip is longer than the shortest by which a sample is off (standard deviation): evenly spread, 1/√12. */
const excessShare = 0.29;
/** How fast a clock's rate wanders with temperature: what a line is off by an older sample, ms a ms (ours). */
const wander = 1e-6;
/** Standard deviation of the prior on the drift. */
const driftDeviation = mostDrift / 2;

/** What an exchange shows; `null` if the stamps cannot be of one exchange. */
export function sampleOf(t1: number, t2: number, t3: number, t4: number): ClockSample | null {
  const delay = t4 - t1 - (t3 - t2);
  // Stamps are rounded: a round trip that took next to no time may come out a little below.
  if (!(t4 >= t1) || !(t3 >= t2) || !(delay >= -0.05)) return null;
  return { at: (t1 + t4) / 2, offset: (t2 - t1 + (t3 - t4)) / 2, delay: Math.max(0, delay) };
}

/**
 * The likeliest line through samples: least squares, each sample weighed by how long its round trip was and how old it is, with a
 * Gaussian prior on the drift, so that two samples of the first second do not make a slope of their noise.
 */
export function lineThrough(samples: readonly ClockSample[]): ClockLine | null {
  const newest = samples.at(-1);
  if (!newest) return null;
  const shortest = Math.min(...samples.map(({ delay }) => delay));
  const origin = newest.offset;
  let [s0, st, stt, sy, sty] = [0, 0, 0, 0, 0];
  for (const { at, offset, delay } of samples) {
    const since = at - newest.at;
    const variance = stampDeviation ** 2 + (excessShare * (delay - shortest)) ** 2 + (wander * since) ** 2;
    const [weight, y] = [1 / variance, offset - origin];
    s0 += weight;
    st += weight * since;
    stt += weight * since * since;
    sy += weight * y;
    sty += weight * since * y;
  }
  stt += 1 / driftDeviation ** 2;
  const determinant = s0 * stt - st * st;
  const drift = Math.max(-mostDrift, Math.min(mostDrift, (s0 * sty - st * sy) / determinant));
  const offset = origin + (sy - drift * st) / s0;
  const line = { at: newest.at, offset, drift };
  const error = samples.reduce((least, one) => {
    const there = one.delay / 2 + Math.abs(one.offset - offsetAt(line, one.at));
    return Math.min(least, there + growth(line) * (newest.at - one.at));
  }, Number.POSITIVE_INFINITY);
  return { ...line, error };
}

/** How far the leader's clock is ahead at a time of ours. */
export function offsetAt({ at, offset, drift }: Omit<ClockLine, 'error'>, own: number): number {
  return offset + drift * (own - at);
}

/** How far the offset may be off at a time of ours. */
export function errorAt(line: ClockLine, own: number): number {
  return line.error + growth(line) * Math.abs(own - line.at);
}

/** How fast an offset that is right can become wrong, ms a ms: as far as our drift can be from the true one. */
function growth({ drift }: Pick<ClockLine, 'drift'>): number {
  return mostDrift + Math.abs(drift);
}

/** The leader's time at a time of ours. */
export function leaderTime(line: ClockLine, own: number): number {
  return own + offsetAt(line, own);
}

/** Our time at a time of the leader's. */
export function ownTime({ at, offset, drift }: ClockLine, leader: number): number {
  return at + (leader - at - offset) / (1 + drift);
}
