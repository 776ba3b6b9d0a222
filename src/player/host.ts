/** Time as the player sees it: the machine's, or a virtual one in tests. Milliseconds as doubles. */
export interface Host {
  now(): number;
  /** Calls back once, about `ms` from now; may be late by milliseconds. */
  setTimer(callback: () => void, ms: number): unknown;
  clearTimer(timer: unknown): void;
  /** Calls back once, as soon as the messages that have come were read. */
  soon(callback: () => void): void;
  /** Blocks until `time`, as exactly as possible. */
  waitUntil(time: number): void;
}

/** How long before a deadline a blocking wait gives way to looking at the clock without pause. */
const spinMs = 0.12;

/**
 * The machine's monotonic clock, common to all its processes: `performance.now()` set onto the origin of
 * `process.hrtime`, because the former allocates nothing.
 */
export function machineHost(): Host {
  const origin = aheadOf(hrtimeMs, () => performance.now());
  const never = new Int32Array(new SharedArrayBuffer(4));
  const now = (): number => performance.now() + origin;
  return {
    now,
    setTimer: (callback, ms) => setTimeout(callback, Math.max(0, Math.floor(ms))),
    clearTimer: (timer) => clearTimeout(timer as NodeJS.Timeout),
    // After the phase in which the loop reads its messages, and without a timer's whole milliseconds.
    soon: (callback) => void setImmediate(callback),
    waitUntil: (time) => {
      const rest = time - now() - spinMs;
      if (rest > 0) Atomics.wait(never, 0, 0, rest);
      while (now() < time);
    },
  };
}

/** The monotonic clock in milliseconds, the same in every process of this machine. */
export function hrtimeMs(): number {
  const [seconds, nanoseconds] = process.hrtime();
  return seconds * 1000 + nanoseconds / 1e6;
}

/** Two clocks are read within this time of each other, ms; if that never happens in this many readings, the closest pair counts. */
const closeMs = 0.01;
const mostReadings = 400;

/**
 * How far a clock is ahead of another, ms. The system may take the processor away between two readings, for tens of ms on a busy
 * machine: what was found then would be off by that for as long as the process lives.
 */
export function aheadOf(clock: () => number, other: () => number): number {
  let closest = Number.POSITIVE_INFINITY;
  let ahead = 0;
  for (let reading = 0; reading < mostReadings && closest > closeMs; reading += 1) {
    const before = other();
    const here = clock();
    const after = other();
    if (after - before >= closest) continue;
    closest = after - before;
    ahead = here - (before + after) / 2;
  }
  return ahead;
}
