import { closeSync, fstatSync, openSync, readdirSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { sizeLimit } from '../chart/yaml-source.js';

/** A file that could not be read at all, with a sentence that says why. */
export class Unreadable extends Error {}

/**
 * Reads a chart or set file, or one of another limit: at most one byte more than may be, so that the reader can say that it is too
 * large without its being read. Throws `Unreadable`.
 */
export function readInput(path: string, limit: number = sizeLimit): Uint8Array {
  let descriptor: number;
  try {
    descriptor = openSync(path, 'r');
  } catch (error) {
    throw new Unreadable(openSentence(path, (error as NodeJS.ErrnoException).code));
  }
  try {
    const stat = fstatSync(descriptor);
    if (stat.isDirectory()) throw new Unreadable(`${path} is a folder; name a chart or set file in it`);
    if (stat.size > limit) {
      throw new Oversized(
        `the file has ${(stat.size / (1 << 20)).toFixed(1)} MiB; ${limit === sizeLimit ? 'a chart has' : 'what is brought in has'} at most ${limit >> 20} MiB`,
      );
    }
    return readAll(descriptor, limit);
  } catch (error) {
    if (error instanceof Unreadable) throw error;
    throw new Unreadable(
      `${path} cannot be read (${(error as NodeJS.ErrnoException).code ?? 'unknown reason'})`,
    );
  } finally {
    closeSync(descriptor);
  }
}

/** A file that is too large to be a chart: the input is at fault, not the call. */
export class Oversized extends Unreadable {}

function readAll(descriptor: number, limit: number): Uint8Array {
  const buffer = Buffer.alloc(limit + 1);
  let length = 0;
  while (length < buffer.length) {
    const read = readSync(descriptor, buffer, length, buffer.length - length, null);
    if (read === 0) break;
    length += read;
  }
  return buffer.subarray(0, length);
}

function openSentence(path: string, code: string | undefined): string {
  if (code === 'ENOENT') return `there is no file ${path}`;
  if (code === 'EACCES') return `${path} may not be read; its permissions forbid it`;
  return `${path} cannot be opened (${code ?? 'unknown reason'})`;
}

/** The folders within a folder, by name, without hidden ones; none when it is not there. */
export function subfolders(folder: string): string[] {
  try {
    return readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'))
      .map((entry) => join(folder, entry.name))
      .sort((one, other) => one.localeCompare(other));
  } catch {
    return [];
  }
}

/** The chart and set files of a folder, by name; none when the folder is not there. */
export function chartFiles(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter((name) => /\.ya?ml$/i.test(name))
      .sort((one, other) => one.localeCompare(other))
      .map((name) => join(folder, name));
  } catch {
    return [];
  }
}
