import { closeSync, constants, fstatSync, openSync, statSync, writeSync } from 'node:fs';
import { endInFullPipe } from './full-pipe.js';
import type { OnTrouble, Output } from './output.js';
import { unfit } from './raw-kind.js';
import { dataBytes, RawWire } from './raw-wire.js';

/** How often a path without a reader is tried again, and how soon a full one, ms. */
const reopenMs = 200;
const retryMs = 5;
/** Messages that leave in one write, few enough that a pipe takes them whole or not at all. */
const mostTogether = 256;
/** Stop, for gear that follows. */
const stop = 0xfc;
/** Note-offs kept for a reader that does not read; the oldest go first beyond it. */
const mostQueued = 4096;

/** Opens a raw MIDI device or a named pipe for writing. Throws a sentence when the path is neither. */
export function openRaw(path: string, onTrouble: OnTrouble): Output {
  const stat = statSync(path, { throwIfNoEntry: false });
  if (!stat) throw new Error(`there is no ${path}; make a pipe with mkfifo, or name a raw MIDI device`);
  const fault = unfit(stat, path, 'a raw output');
  if (fault) throw new Error(fault);
  return new RawOutput(path, onTrouble);
}

/** Bytes straight to a path, never blocking. What belongs to one instant leaves in one write. */
class RawOutput implements Output {
  readonly lead = 0;
  readonly label: string;
  private descriptor: number | null = null;
  /** Messages of three bytes each, as they were given; their true lengths follow from their statuses. */
  private readonly batch = Buffer.alloc(3 * mostTogether);
  private filled = 0;
  private readonly wire = new RawWire(mostTogether, false);
  /** Note-offs that could not be written yet. */
  private waiting: Buffer[] = [];
  /** Note-ons that never left, by key: their note-offs must not leave either. */
  private readonly unsent = new Map<number, number>();
  private timer: NodeJS.Timeout | null = null;
  private dropped = 0;
  private told = false;
  private closed = false;

  constructor(
    private readonly path: string,
    private readonly onTrouble: OnTrouble,
  ) {
    this.label = `raw ${path}`;
    this.connect();
  }

  send(status: number, data1: number, data2: number): void {
    if (this.filled + 3 > this.batch.length) this.flush();
    this.batch[this.filled] = status;
    this.batch[this.filled + 1] = data1;
    this.batch[this.filled + 2] = data2;
    this.filled += 3;
  }

  flush(): void {
    if (this.filled === 0) return;
    const messages = this.batch.subarray(0, this.filled);
    this.filled = 0;
    if (this.descriptor !== null && this.waiting.length === 0 && this.unsent.size === 0) {
      if (this.writeOrQueue(this.wire.encode(messages))) return;
      this.wire.forget();
    }
    for (let at = 0; at < messages.length; at += 3) this.sendAlone(messages.subarray(at, at + 3));
  }

  panic(): void {
    this.drain();
  }

  close(): void {
    this.closed = true;
    this.flush();
    this.drain();
    if (this.descriptor !== null && this.waiting.length > 0)
      endInFullPipe(this.path, this.descriptor, this.waiting);
    if (this.timer) clearTimeout(this.timer);
    if (this.descriptor !== null) closeSync(this.descriptor);
    this.descriptor = null;
  }

  /** One message when not all could leave together. */
  private sendAlone(given: Buffer): void {
    const kind = (given[0] as number) & 0xf0;
    const message = given.subarray(0, 1 + dataBytes(given[0] as number));
    const key = (((given[0] as number) & 0x0f) << 7) | (given[1] as number);
    const isOff = kind === 0x80;
    if (isOff && (this.unsent.get(key) ?? 0) > 0) {
      const left = (this.unsent.get(key) ?? 0) - 1;
      if (left > 0) this.unsent.set(key, left);
      else this.unsent.delete(key);
      return;
    }
    this.drain();
    // Alone, every message brings its status: what came before it may never have left.
    this.wire.forget();
    if (this.descriptor !== null && this.waiting.length === 0 && this.writeOrQueue(message)) return;
    if (isOff || kind === 0xb0 || given[0] === stop) this.queue(message);
    else if (kind === 0xf0) this.dropped += 1;
    else {
      this.dropped += 1;
      this.unsent.set(key, (this.unsent.get(key) ?? 0) + 1);
    }
  }

  private queue(message: Buffer): void {
    this.waiting.push(Buffer.from(message));
    if (this.waiting.length > mostQueued) this.waiting.shift();
    if (!this.timer && !this.closed) this.later(retryMs);
  }

  private drain(): void {
    for (let head = this.waiting[0]; this.descriptor !== null && head; head = this.waiting[0]) {
      const written = this.write(head);
      if (written < head.length) {
        this.waiting[0] = head.subarray(written);
        return;
      }
      this.waiting.shift();
    }
  }

  /** Writes all or nothing: of what a device took in part the rest waits its turn. */
  private writeOrQueue(bytes: Buffer): boolean {
    const written = this.write(bytes);
    if (written === 0) return false;
    if (written < bytes.length) this.queue(bytes.subarray(written));
    return true;
  }

  /** Writes, and answers how many bytes left; a reader that went away is waited for again. */
  private write(bytes: Buffer): number {
    if (this.descriptor === null) return 0;
    let written = 0;
    try {
      while (written < bytes.length)
        written += writeSync(this.descriptor, bytes, written, bytes.length - written);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') this.disconnect();
      else this.tellFull();
    }
    return written;
  }

  private tellFull(): void {
    if (this.told) return;
    this.told = true;
    this.onTrouble(`${this.path} is full because its reader is slow; notes are dropped until it catches up`);
  }

  private connect(): void {
    try {
      // Opening must neither wait nor make a terminal line the player's own.
      const opened = openSync(this.path, constants.O_WRONLY | constants.O_NONBLOCK | constants.O_NOCTTY);
      // What was opened counts, not what stood there before: it may have been put in its place.
      const stat = fstatSync(opened);
      const fault = unfit(stat, this.path, 'a raw output');
      if (fault) {
        closeSync(opened);
        this.waitFor(fault);
        return;
      }
      this.descriptor = opened;
      this.wire.running = !stat.isFIFO();
      this.wire.forget();
      // A reader that comes late has heard none of the notes before it.
      this.waiting = [];
      if (this.told) this.onTrouble(`${this.path} is being read now`);
      this.told = false;
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      this.waitFor(
        code === 'ENXIO'
          ? `nobody reads ${this.path} yet; waiting for a reader`
          : `${this.path} cannot be opened (${code}); trying again`,
      );
    }
  }

  /** Says once why nothing can be written, and tries again. */
  private waitFor(reason: string): void {
    if (!this.told) this.onTrouble(reason);
    this.told = true;
    this.later(reopenMs);
  }

  private disconnect(): void {
    if (this.descriptor !== null) closeSync(this.descriptor);
    this.descriptor = null;
    if (this.closed) return;
    this.onTrouble(`the reader of ${this.path} has gone; waiting for another`);
    this.told = true;
    this.later(reopenMs);
  }

  private later(ms: number): void {
    if (this.timer) clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.timer = null;
      if (this.closed) return;
      if (this.descriptor === null) this.connect();
      else this.drain();
      if (this.waiting.length > 0 && !this.timer) this.later(retryMs);
    }, ms);
  }
}
