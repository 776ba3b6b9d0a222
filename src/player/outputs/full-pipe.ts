import { closeSync, constants, fstatSync, openSync, readSync, writeSync } from 'node:fs';
import { ChannelReader } from '../inputs/channel-reader.js';

/** The most bytes that are taken out: more than Linux lets a pipe hold without privileges. */
const mostTaken = 1 << 20;

/**
 * Ends the notes in a pipe that is full at the end, its reader having stopped: what lies there unread is taken out, and the ends
 * of all notes in it are put in, then `waiting`. A reader that goes on later gets these, and no note hangs. `writer` is the
 * descriptor that the pipe at `path` is written through. Returns whether it could be done.
 */
export function endInFullPipe(path: string, writer: number, waiting: readonly Buffer[]): boolean {
  let reader: number | null = null;
  try {
    reader = openSync(path, constants.O_RDONLY | constants.O_NONBLOCK);
    const [here, there] = [fstatSync(reader), fstatSync(writer)];
    if (!here.isFIFO() || here.ino !== there.ino || here.dev !== there.dev) return false;
    const ends = [...notesIn(reader)].map((key) => Buffer.from([0x80 | (key >> 7), key & 0x7f, 0]));
    for (const message of [...ends, ...waiting]) writeSync(writer, message);
    return true;
  } catch {
    return false;
  } finally {
    if (reader !== null) closeSync(reader);
  }
}

/** The notes, `channel << 7 | note`, of what is read until nothing is left. */
function notesIn(reader: number): Set<number> {
  const notes = new Set<number>();
  const channels = new ChannelReader((status, note) => {
    if (status < 0xa0) notes.add(((status & 0x0f) << 7) | note);
  });
  const bytes = Buffer.alloc(65_536);
  for (let taken = 0; taken < mostTaken; ) {
    const count = readIfAny(reader, bytes);
    if (count === 0) break;
    taken += count;
    for (const byte of bytes.subarray(0, count)) channels.byte(byte, 0);
  }
  return notes;
}

function readIfAny(reader: number, bytes: Buffer): number {
  try {
    return readSync(reader, bytes);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EAGAIN') return 0;
    throw error;
  }
}
