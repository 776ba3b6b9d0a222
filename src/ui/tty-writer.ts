import { EventEmitter } from 'node:events';
import { closeSync, constants, openSync, writeSync } from 'node:fs';
import { isatty } from 'node:tty';

/** Takes bytes without waiting; returns how many it took, 0 when it takes none now, and throws when it is gone. */
export type Sink = (bytes: Uint8Array) => number;

/** A full terminal is tried again after this many ms, first and at most. */
const firstRetryMs = 2;
const longestRetryMs = 32;
/** What waits for a terminal that does not read is at most this many bytes; what comes beyond is dropped. */
const mostWaiting = 262_144;

/**
 * Writes text to a terminal without ever waiting for it: what it does not take now stays here and is tried again.
 * Node writes to terminals synchronously, so that one that no longer reads would stop the whole program. Emits
 * `drain` when everything has been taken, and `gone`, once, when the terminal is there no more.
 */
export class PatientWriter extends EventEmitter {
  private waiting: Buffer = Buffer.alloc(0);
  private timer: NodeJS.Timeout | null = null;
  private retryMs = firstRetryMs;
  private isGone = false;

  constructor(private readonly sink: Sink) {
    super();
  }

  /** Whether something still waits to be taken. */
  get isFull(): boolean {
    return this.waiting.length > 0;
  }

  /** Writes; returns whether the terminal took everything at once. */
  write(text: string): boolean {
    if (this.isGone || this.waiting.length > mostWaiting) return !this.isFull;
    this.waiting = Buffer.concat([this.waiting, Buffer.from(text, 'utf8')]);
    if (!this.timer) this.push();
    return !this.isFull;
  }

  /** Forgets what was not taken yet. */
  drop(): void {
    this.waiting = Buffer.alloc(0);
    this.stopTimer();
  }

  /** Waits until everything was taken, at most this many ms; returns whether it was. */
  taken(ms: number): Promise<boolean> {
    if (!this.isFull || this.isGone) return Promise.resolve(!this.isGone);
    return new Promise((resolve) => {
      const done = (): void => {
        clearTimeout(limit);
        this.off('drain', done);
        this.off('gone', done);
        resolve(!this.isFull && !this.isGone);
      };
      const limit = setTimeout(done, ms);
      this.on('drain', done);
      this.on('gone', done);
    });
  }

  private push(): void {
    const wasFull = this.timer !== null;
    this.stopTimer();
    try {
      while (this.isFull) {
        const count = this.sink(this.waiting);
        if (count === 0) break;
        this.waiting = this.waiting.subarray(count);
        this.retryMs = firstRetryMs;
      }
    } catch {
      this.isGone = true;
      this.drop();
      this.emit('gone');
      return;
    }
    if (this.isFull) {
      this.timer = setTimeout(() => this.push(), this.retryMs);
      this.retryMs = Math.min(longestRetryMs, this.retryMs * 2);
    } else if (wasFull) this.emit('drain');
  }

  private stopTimer(): void {
    if (this.timer) clearTimeout(this.timer);
    this.timer = null;
  }
}

/** The size of a terminal, where it tells. */
type Sized = Pick<NodeJS.WriteStream, 'columns' | 'rows' | 'on'> & { readonly fd: number };

/** A patient writer to the terminal of one of the program's own streams, with that terminal's size. */
export class TtyWriter extends PatientWriter {
  constructor(private readonly stream: Sized) {
    super(sinkOf(stream.fd));
    stream.on('resize', () => this.emit('resize'));
  }

  get columns(): number {
    return this.stream.columns;
  }

  get rows(): number {
    return this.stream.rows;
  }
}

/**
 * Writes to the terminal behind a descriptor, through an opening of our own: not to wait is a property of the opening,
 * and the shell and others share the descriptor's. Where none can be had, the descriptor itself must do.
 */
function sinkOf(descriptor: number): Sink {
  const opened = openAgain(descriptor) ?? descriptor;
  return (bytes) => {
    try {
      return writeSync(opened, bytes);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'EAGAIN' || code === 'EINTR') return 0;
      throw error;
    }
  };
}

function openAgain(descriptor: number): number | null {
  const { O_WRONLY, O_NOCTTY, O_NONBLOCK } = constants;
  // The first is there on Linux; the other wherever the terminal is the one that the program was started from.
  for (const path of [`/proc/self/fd/${descriptor}`, '/dev/tty']) {
    try {
      const opened = openSync(path, O_WRONLY | O_NOCTTY | O_NONBLOCK);
      if (isatty(opened)) return opened;
      closeSync(opened);
    } catch {
      // Not there, or not permitted: try the next.
    }
  }
  return null;
}
