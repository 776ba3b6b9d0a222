import type { Host } from '../../src/player/host.js';
import type { Output } from '../../src/player/outputs/output.js';

interface Timer {
  readonly due: number;
  readonly callback: () => void;
}

/** What comes of one callback holding the loop so long is that it never ends. */
const endlessMs = 5000;

/** A machine whose time goes on only when it is told to, or when somebody waits for it. */
export class VirtualHost implements Host {
  private timers: Timer[] = [];
  /** When the callback began that runs now; not a number while none does. */
  private since = Number.NaN;
  /** For how long the loop was held at most, ms: while a callback runs no message is read. */
  longestHold = 0;
  private stalled = 0;
  /** When the last of the stalls ended. */
  woke = Number.NEGATIVE_INFINITY;
  /** Moments, sorted, at which time stands still for the process, and for how long, ms. */
  stalls: { readonly at: number; readonly ms: number }[] = [];

  /** `lateMs`: how long after its time a timer of so many milliseconds fires. */
  constructor(
    private time = 5000,
    private readonly lateMs: (ms: number) => number = () => 0,
  ) {}

  now(): number {
    return this.time;
  }

  /** As the machine's own timers: whole milliseconds, and never less than one. */
  setTimer(callback: () => void, ms: number): Timer {
    const whole = Math.max(1, Math.floor(ms));
    const timer = { due: this.time + whole + this.lateMs(whole), callback };
    this.timers.push(timer);
    return timer;
  }

  clearTimer(timer: unknown): void {
    this.timers = this.timers.filter((one) => one !== timer);
  }

  soon(callback: () => void): void {
    this.timers.push({ due: this.time, callback });
  }

  /** A message comes at a time; it is read as soon as the loop is free. */
  post(at: number, callback: () => void): void {
    this.timers.push({ due: at, callback });
  }

  waitUntil(time: number): void {
    this.pass(time);
    if (this.ran - this.since > endlessMs) throw new Error('the loop is held without end');
  }

  /** Runs everything that is due up to `to`, in order, and stops there. */
  advance(to: number): void {
    for (let next = this.next(to); next; next = this.next(to)) {
      this.clearTimer(next);
      this.pass(next.due);
      this.since = this.ran;
      next.callback();
      this.longestHold = Math.max(this.longestHold, this.ran - this.since);
      this.since = Number.NaN;
    }
    this.pass(to);
  }

  /** Time that passes while nothing runs: a process stopped, or a machine asleep. */
  stall(ms: number): void {
    this.time += ms;
  }

  /** Time without the stalls: that in which the process ran. */
  private get ran(): number {
    return this.time - this.stalled;
  }

  private pass(to: number): void {
    this.time = Math.max(this.time, to);
    for (let stall = this.stalls[0]; stall && stall.at <= this.time; stall = this.stalls[0]) {
      this.stalls.shift();
      this.time += stall.ms;
      this.stalled += stall.ms;
      this.woke = this.time;
    }
  }

  private next(to: number): Timer | undefined {
    return this.timers.filter((one) => one.due <= to).sort((one, other) => one.due - other.due)[0];
  }
}

/** One message as it reached an output: what, for when, and when it was sent. */
export interface Sent {
  readonly status: number;
  readonly note: number;
  readonly velocity: number;
  /** The time it is meant for. */
  readonly time: number;
  readonly sentAt: number;
}

/** An output that keeps all it is given. */
export class RecordingOutput implements Output {
  readonly label = 'recording';
  readonly sent: Sent[] = [];
  panics = 0;
  /** When they were, ms. */
  readonly panicked: number[] = [];
  /** Messages that were not yet followed by a flush. */
  unflushed = 0;

  constructor(
    private readonly host: Host,
    readonly lead = 0,
    private readonly onSend: (time: number) => void = () => {},
    readonly own = false,
  ) {}

  send(status: number, note: number, velocity: number, time: number): void {
    this.sent.push({ status, note, velocity, time, sentAt: Number.NaN });
    this.unflushed += 1;
    this.onSend(time);
  }

  /** What was handed over leaves now. */
  flush(): void {
    for (let index = this.sent.length - this.unflushed; index < this.sent.length; index += 1)
      this.sent[index] = { ...(this.sent[index] as Sent), sentAt: this.host.now() };
    this.unflushed = 0;
  }

  panic(): void {
    this.panics += 1;
    this.panicked.push(this.host.now());
  }

  close(): void {}

  /** The note-ons, in the order they came. */
  get ons(): Sent[] {
    return this.sent.filter((one) => (one.status & 0xf0) === 0x90 && one.velocity > 0);
  }

  get offs(): Sent[] {
    return this.sent.filter((one) => (one.status & 0xf0) === 0x80);
  }

  /** Channel and note of everything that was begun and not ended. */
  hanging(): string[] {
    const open = new Map<string, number>();
    for (const { status, note } of this.sent) {
      const key = `channel ${(status & 0x0f) + 1} note ${note}`;
      if ((status & 0xf0) === 0x90) open.set(key, (open.get(key) ?? 0) + 1);
      if ((status & 0xf0) === 0x80) open.set(key, (open.get(key) ?? 0) - 1);
    }
    return [...open].filter(([, count]) => count !== 0).map(([key, count]) => `${key}: ${count}`);
  }
}
