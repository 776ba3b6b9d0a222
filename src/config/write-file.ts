import {
  accessSync,
  closeSync,
  constants,
  fchmodSync,
  fchownSync,
  fsyncSync,
  ftruncateSync,
  linkSync,
  openSync,
  readlinkSync,
  realpathSync,
  renameSync,
  rmSync,
  type Stats,
  statSync,
  unlinkSync,
  writeSync,
} from 'node:fs';
import { basename, dirname, resolve } from 'node:path';
import { asidePath, sweepAsides } from './asides.js';
import { isThere, makeFolders, removeFolders } from './make-folders.js';
import { mustBeRegular, openRegular, readOpened } from './regular.js';
import { NotWritten, notWritten } from './why-not.js';

/** How a file is written. */
export interface WriteOptions {
  /** Whether it may take the place of one that is there; without it a name that is taken is an error. */
  readonly over: boolean;
  /** Whether it is on the disk when the writing is done; it is, unless `false` is given. */
  readonly flush?: boolean;
}

/**
 * Writes a whole file, or nothing: first to a temporary file in the same folder, which then gets its name. Links are written through;
 * a file that is there keeps its permissions and its owner. One that has other names too, or an owner that cannot be given
 * to another file, is written where it is, after what it holds has been copied aside. Folders that are missing are made.
 *
 * @returns the path of the file that was written, links followed
 * @throws NotWritten, and then nothing is left behind
 */
export function writeWhole(path: string, content: string | Uint8Array, options: WriteOptions): string {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  let made: readonly string[] = [];
  try {
    const there = statSync(path, { throwIfNoEntry: false });
    if (!options.over && isThere(path)) throw new NotWritten('it already exists', 'call');
    if (there) {
      mustBeRegular(there);
      return writeOver(realpathSync(path), bytes, there, options);
    }
    const target = linkTarget(path);
    made = makeFolders(dirname(target));
    sweepAsides(dirname(target));
    const aside = writeAside(target, bytes, options);
    try {
      putInPlace(aside, target, options.over);
    } finally {
      rmSync(aside, { force: true });
    }
    flushFolder(target, options);
    return target;
  } catch (error) {
    removeFolders(made);
    throw notWritten(error);
  }
}

function writeOver(target: string, bytes: Uint8Array, there: Stats, options: WriteOptions): string {
  // Anybody who may do anything (root) is held to it too: a file that nobody may write to is meant to stay.
  if ((there.mode & 0o222) === 0) throw new NotWritten('it is read-only', 'forbidden');
  accessSync(target, constants.W_OK);
  sweepAsides(dirname(target));
  if (there.nlink > 1 || !canGive(there)) {
    writeWhereItIs(target, bytes, options);
    return target;
  }
  const aside = writeAside(target, bytes, options, there);
  try {
    renameSync(aside, target);
  } catch (error) {
    rmSync(aside, { force: true });
    throw error;
  }
  flushFolder(target, options);
  return target;
}

/** Writes a file beside the target, with the permissions and the owner of `like`; answers its path. */
function writeAside(
  target: string,
  bytes: Uint8Array,
  { flush = true }: WriteOptions,
  like: Pick<Stats, 'mode' | 'uid' | 'gid'> | null = null,
): string {
  const aside = asidePath(dirname(target));
  // Until it has the permissions of the file whose place it takes, nobody else may read it.
  const descriptor = openSync(aside, 'wx', like ? 0o600 : 0o666);
  let whole = false;
  try {
    if (like && process.getuid) fchownSync(descriptor, like.uid, like.gid);
    if (like) fchmodSync(descriptor, like.mode & 0o7777);
    writeAll(descriptor, bytes);
    if (flush) fsyncSync(descriptor);
    whole = true;
    return aside;
  } finally {
    closeSync(descriptor);
    if (!whole) rmSync(aside, { force: true });
  }
}

/** Whether this user can give a file to the owner of another. */
function canGive({ uid, gid }: Stats): boolean {
  const own = process.geteuid?.();
  if (own === undefined || own === 0) return true;
  return uid === own && (gid === process.getegid?.() || (process.getgroups?.() ?? []).includes(gid));
}

/** Puts a file under a name that is free; with `over` also under one that has been taken meanwhile. */
function putInPlace(aside: string, target: string, over: boolean): void {
  if (over) {
    renameSync(aside, target);
    return;
  }
  try {
    // A rename would take the place of a file that somebody else has made meanwhile; a link does not.
    linkSync(aside, target);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw error;
    // A file system without links: the name is taken first.
    closeSync(openSync(target, 'wx'));
    try {
      renameSync(aside, target);
    } catch (second) {
      unlinkSync(target);
      throw second;
    }
  }
}

/** Writes over a file that must stay the same one. What it holds is copied aside first and put back if the writing fails. */
function writeWhereItIs(target: string, bytes: Uint8Array, options: WriteOptions): void {
  const descriptor = openRegular(target, constants.O_RDWR);
  try {
    const owner = { mode: 0o600, uid: process.geteuid?.() ?? 0, gid: process.getegid?.() ?? 0 };
    const before = readOpened(descriptor, Number.MAX_SAFE_INTEGER - 1);
    const copy = writeAside(target, before, options, owner);
    try {
      overwrite(descriptor, bytes, options);
    } catch (error) {
      try {
        overwrite(descriptor, before, options);
      } catch {
        const kept = `${target}.before-${process.pid}`;
        renameSync(copy, kept);
        const { message } = notWritten(error);
        throw new NotWritten(
          `${message}; the old content is in ${basename(kept)}, in the same folder`,
          'machine',
        );
      }
      rmSync(copy, { force: true });
      throw error;
    }
    rmSync(copy, { force: true });
  } finally {
    closeSync(descriptor);
  }
}

function overwrite(descriptor: number, bytes: Uint8Array, { flush = true }: WriteOptions): void {
  writeAll(descriptor, bytes);
  ftruncateSync(descriptor, bytes.length);
  if (flush) fsyncSync(descriptor);
}

/** Writes all bytes from the beginning of a file on; the system may take only part of them at a time. */
function writeAll(descriptor: number, bytes: Uint8Array): void {
  for (let at = 0; at < bytes.length; ) {
    const written = writeSync(descriptor, bytes, at, bytes.length - at, at);
    if (written === 0) throw new NotWritten('the disk accepts no more data', 'machine');
    at += written;
  }
}

/** Where a path leads that nothing is at: a link may name a file that is to be made. */
function linkTarget(path: string): string {
  let at = resolve(path);
  for (let hops = 0; hops < 40; hops += 1) {
    try {
      at = resolve(realpathSync(dirname(at)), readlinkSync(at));
    } catch {
      return at;
    }
  }
  throw new NotWritten('it is a link that points to itself', 'call');
}

/** The folder knows the new name for good. Not every file system can say so. */
function flushFolder(target: string, { flush = true }: WriteOptions): void {
  if (!flush) return;
  try {
    const descriptor = openSync(dirname(target), constants.O_RDONLY);
    try {
      fsyncSync(descriptor);
    } finally {
      closeSync(descriptor);
    }
  } catch {
    // The file itself is on the disk.
  }
}
