import { closeSync, fstatSync } from 'node:fs';
import { sizeLimit } from '../chart/yaml-source.js';
import { NotRegular, openRegular, readOpened } from './regular.js';

export { chartFiles, subfolders } from './chart-folders.js';

/** A file that could not be read at all, with a sentence that says why. */
export class Unreadable extends Error {}

/** A file that is too large to be a chart: the input is at fault, not the call. */
export class Oversized extends Unreadable {}

/**
 * Reads a chart or set file, or one of another limit: at most one byte more than may be, so that the reader can say that it is too
 * large without its being read. Throws `Unreadable`.
 */
export function readInput(path: string, limit: number = sizeLimit): Uint8Array {
  try {
    const descriptor = openRegular(path);
    try {
      const { size } = fstatSync(descriptor);
      if (size > limit) throw new Oversized(sizeSentence(size, limit));
      return readOpened(descriptor, limit);
    } finally {
      closeSync(descriptor);
    }
  } catch (error) {
    throw error instanceof Unreadable ? error : new Unreadable(unreadSentence(path, error));
  }
}

function sizeSentence(size: number, limit: number): string {
  const most = limit === sizeLimit ? 'a chart can have' : 'a file to import can have';
  return `the file has ${(size / (1 << 20)).toFixed(1)} MiB; ${most} at most ${limit >> 20} MiB`;
}

function unreadSentence(path: string, error: unknown): string {
  if (error instanceof NotRegular)
    return error.kind === 'a folder'
      ? `${path} is a folder; name a chart or set file in it`
      : `${path} is ${error.kind}, not a file`;
  const { code } = error as NodeJS.ErrnoException;
  if (code === 'ENOENT') return `there is no file ${path}`;
  if (code === 'EACCES') return `${path} cannot be read; its permissions forbid it`;
  return `${path} cannot be read (${code ?? 'unknown reason'})`;
}
