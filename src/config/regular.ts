import { closeSync, constants, fstatSync, openSync, readSync, type Stats, statSync } from 'node:fs';

/** What is at a path is not a regular file: a pipe or device may never end, and opening it may never return. */
export class NotRegular extends Error {
  /** @param kind what it is: `a pipe` */
  constructor(readonly kind: string) {
    super(`it is ${kind}, not a file`);
  }
}

/**
 * Opens what the program did not make itself: without waiting, and regular files only, as seen on the opened descriptor.
 * Everything from outside is opened here. Throws `NotRegular`, or the system's error.
 *
 * @param flags of `open`; reading without them
 */
export function openRegular(path: string, flags: number = constants.O_RDONLY): number {
  // Some devices act on being opened alone: anything that is known not to be a file is not opened at all.
  const there = statSync(path, { throwIfNoEntry: false });
  if (there) mustBeRegular(there);
  // Where the system has no such flags (Windows) there is nothing to wait for.
  const quick = (constants.O_NONBLOCK ?? 0) | (constants.O_NOCTTY ?? 0);
  const descriptor = openSync(path, flags | quick);
  try {
    mustBeRegular(fstatSync(descriptor));
  } catch (error) {
    closeSync(descriptor);
    throw error;
  }
  return descriptor;
}

/** Throws `NotRegular` for everything but a regular file. */
export function mustBeRegular(stat: Stats): void {
  if (!stat.isFile()) throw new NotRegular(kindOf(stat));
}

function kindOf(stat: Stats): string {
  if (stat.isDirectory()) return 'a folder';
  if (stat.isFIFO()) return 'a pipe';
  if (stat.isSocket()) return 'a socket';
  return stat.isCharacterDevice() || stat.isBlockDevice() ? 'a device' : 'something of another kind';
}

/**
 * The bytes of a regular file, at most one more than `limit`: that one says that it is too large. Throws as `openRegular`.
 */
export function readRegular(path: string, limit: number): Uint8Array {
  const descriptor = openRegular(path);
  try {
    return readOpened(descriptor, limit);
  } finally {
    closeSync(descriptor);
  }
}

/** The bytes of an opened file from where it stands, at most one more than `limit`. */
export function readOpened(descriptor: number, limit: number): Uint8Array {
  // A file that grows, or whose size the system does not know, is read to its end all the same.
  let buffer = Buffer.allocUnsafe(Math.min(limit, Math.max(fstatSync(descriptor).size, 1 << 12)) + 1);
  let length = 0;
  for (;;) {
    const read = readSync(descriptor, buffer, length, buffer.length - length, null);
    if (read === 0) break;
    length += read;
    if (length > limit) break;
    if (length < buffer.length) continue;
    const larger = Buffer.allocUnsafe(Math.min(limit + 1, buffer.length * 2));
    buffer.copy(larger, 0, 0, length);
    buffer = larger;
  }
  return buffer.subarray(0, length);
}
