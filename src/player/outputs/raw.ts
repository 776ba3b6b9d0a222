import { closeSync, constants, openSync, statSync, writeSync } from 'node:fs';
import type { OnTrouble, Output } from './output.js';

/** How often a path without a reader is tried again, and how soon a full one, ms. */
const reopenMs = 200;
const retryMs = 5;
/** Note-offs kept for a reader that does not read; the oldest go first beyond it. */
const mostQueued = 4096;

/** Opens a raw MIDI device or a named pipe for writing. Throws a sentence when the path is no such thing. */
export function openRaw(path: string, onTrouble: OnTrouble): Output {
  const stat = statSync(path, { throwIfNoEntry: false });
  if (!stat) throw new Error(`there is no ${path}; make a pipe with mkfifo, or name a raw MIDI device`);
  if (stat.isFile())
    throw new Error(`${path} is a regular file; a raw output is a named pipe or a MIDI device`);
  if (stat.isDirectory())
    throw new Error(`${path} is a folder; a raw output is a named pipe or a MIDI device`);
  return new RawOutput(path, onTrouble);
}

/** Bytes straight to a path, never blocking. What belongs to one instant leaves in one write. */
class RawOutput implements Output {
  readonly lead = 0;
  readonly label: string;
  private descriptor: number | null = null;
  /** Messages of three bytes each, as they were given; their true lengths follow from their statuses. */
  private readonly batch = Buffer.alloc(3 * 256);
  private filled = 0;
  private readonly wire = Buffer.alloc(3 * 256);
  /** The status that the reader still has in mind: it need not be sent again (running status). */
  private status = 0;
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
      const before = this.status;
      if (this.write(this.encode(messages))) return;
      this.status = before;
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
    if (this.timer) clearTimeout(this.timer);
    if (this.descriptor !== null) closeSync(this.descriptor);
    this.descriptor = null;
  }

  /** The bytes that go over the wire: a status that is the one before is left out; what is for all channels passes by. */
  private encode(messages: Buffer): Buffer {
    let length = 0;
    for (let at = 0; at < messages.length; at += 3) {
      const status = messages[at] as number;
      if (status !== this.status) this.wire[length++] = status;
      // Clock and start leave the running status as it is; song position ends it (MIDI 1.0).
      if (status < 0xf0) this.status = status;
      else if (status < 0xf8) this.status = 0;
      for (let data = 1; data <= dataBytes(status); data += 1)
        this.wire[length++] = messages[at + data] as number;
    }
    return this.wire.subarray(0, length);
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
    this.status = 0;
    if (this.descriptor !== null && this.waiting.length === 0 && this.write(message)) return;
    if (isOff || kind === 0xb0) this.queue(message);
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
    while (this.descriptor !== null && this.waiting.length > 0) {
      if (!this.write(this.waiting[0] as Buffer)) return;
      this.waiting.shift();
    }
  }

  /** Writes all bytes or none; a reader that went away is waited for again. */
  private write(bytes: Buffer): boolean {
    if (this.descriptor === null) return false;
    try {
      let written = 0;
      while (written < bytes.length)
        written += writeSync(this.descriptor, bytes, written, bytes.length - written);
      return true;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') this.disconnect();
      else this.tellFull();
      return false;
    }
  }

  private tellFull(): void {
    if (this.told) return;
    this.told = true;
    this.onTrouble(`${this.path} is full, its reader is slow; notes are left out until it reads on`);
  }

  private connect(): void {
    try {
      this.descriptor = openSync(this.path, constants.O_WRONLY | constants.O_NONBLOCK);
      this.status = 0;
      // A reader that comes late has heard none of the notes before it.
      this.waiting = [];
      if (this.told) this.onTrouble(`${this.path} is being read now`);
      this.told = false;
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (!this.told)
        this.onTrouble(
          code === 'ENXIO'
            ? `nobody reads ${this.path} yet; waiting for a reader`
            : `${this.path} cannot be opened (${code}); trying again`,
        );
      this.told = true;
      this.later(reopenMs);
    }
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

/** Data bytes that follow a status (MIDI 1.0). */
export function dataBytes(status: number): number {
  const kind = status & 0xf0;
  if (kind === 0xc0 || kind === 0xd0) return 1;
  if (kind < 0xf0) return 2;
  if (status === 0xf2) return 2;
  return status === 0xf1 || status === 0xf3 ? 1 : 0;
}
