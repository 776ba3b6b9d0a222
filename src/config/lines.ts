import { closeSync, fstatSync, readSync } from 'node:fs';
import { openRegular } from './regular.js';

/** A line of a file: its number, from 1, and its text without its end. */
export interface FileLine {
  readonly number: number;
  readonly text: string;
}

/** How lines are read. */
export interface LineOptions {
  /** How many lines, the last ones; without it all. */
  readonly last?: number;
  /** The most bytes of a line that are kept; what is longer is cut off. 1 MiB without it. */
  readonly longest?: number;
}

const chunkBytes = 1 << 18;

/**
 * The lines of a regular file, one after the other, however large it is: never more than one of them is in memory. What
 * is not UTF-8 is read with replacement characters. None where there is no such file; throws what `openRegular` does.
 */
export function* fileLines(path: string, options: LineOptions = {}): Generator<FileLine> {
  let descriptor: number;
  try {
    descriptor = openRegular(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return;
    throw error;
  }
  try {
    const { last, longest = 1 << 20 } = options;
    // What is appended meanwhile is left for the next reading.
    const { size } = fstatSync(descriptor);
    const skip = last === undefined ? 0 : Math.max(0, countLines(descriptor, size) - last);
    yield* linesFrom(descriptor, size, skip, longest);
  } finally {
    closeSync(descriptor);
  }
}

function countLines(descriptor: number, size: number): number {
  let count = 0;
  let ended = true;
  for (const chunk of chunks(descriptor, size)) {
    for (let at = chunk.indexOf(0x0a); at >= 0; at = chunk.indexOf(0x0a, at + 1)) count += 1;
    ended = chunk.at(-1) === 0x0a;
  }
  return ended ? count : count + 1;
}

function* linesFrom(descriptor: number, size: number, skip: number, longest: number): Generator<FileLine> {
  let number = 1;
  let parts: Buffer[] = [];
  let held = 0;
  const hold = (part: Buffer): void => {
    const room = Math.max(0, longest - held);
    // The chunk's own memory is written over by the next one.
    if (room > 0 && part.length > 0 && number > skip) parts.push(Buffer.from(part.subarray(0, room)));
    held += part.length;
  };
  for (const chunk of chunks(descriptor, size)) {
    let from = 0;
    for (let end = chunk.indexOf(0x0a); end >= 0; end = chunk.indexOf(0x0a, from)) {
      // Most lines lie whole in one piece.
      const whole = held === 0 && end - from <= longest;
      if (!whole) hold(chunk.subarray(from, end));
      if (number > skip)
        yield {
          number,
          text: whole ? chunk.toString('utf8', from, end) : Buffer.concat(parts).toString('utf8'),
        };
      number += 1;
      parts = [];
      held = 0;
      from = end + 1;
    }
    hold(chunk.subarray(from));
  }
  if (held > 0 && number > skip) yield { number, text: Buffer.concat(parts).toString('utf8') };
}

/** The bytes of a file up to a size, a piece at a time; each holds until the next is asked for. */
function* chunks(descriptor: number, size: number): Generator<Buffer> {
  const buffer = Buffer.allocUnsafe(chunkBytes);
  for (let at = 0; at < size; ) {
    const read = readSync(descriptor, buffer, 0, Math.min(chunkBytes, size - at), at);
    if (read === 0) return;
    at += read;
    yield buffer.subarray(0, read);
  }
}
