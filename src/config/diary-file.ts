import {
  closeSync,
  constants,
  existsSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  readSync,
  writeSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { folders } from './folders.js';
import { makeFolders } from './make-folders.js';
import { openRegular } from './regular.js';
import { notWritten } from './why-not.js';

/** Whose diary, hand and settings are meant; `null` is the player at the laptop. */
export type Who = string | null;

/** A person's own folder within another: `who/Ansa`. */
export function folderOf(who: Who, folder: string): string {
  return who === null ? folder : join(folder, 'who', who);
}

/** Whether a name can be a folder's: letters, figures, spaces, dashes. */
export function isPersonName(name: string): boolean {
  return /^[\p{L}\p{N}][\p{L}\p{N} _-]{0,40}$/u.test(name);
}

/** Where a diary is kept. */
export function diaryPath(who: Who, folder: string = folders.state): string {
  return join(folderOf(who, folder), 'diary.jsonl');
}

/** Where a person's settings are: their own folder's, if there are any, else the usual ones. */
export function settingsFolder(who: Who, folder: string = folders.config): string {
  const own = folderOf(who, folder);
  return existsSync(join(own, 'settings.yaml')) ? own : folder;
}

/**
 * Appends a line, and answers when it is on the disk; or a sentence that says why it is not. A line that another program
 * left torn is ended first, so that it spoils none but itself; one write each, at the end, so that two programs do not
 * mix their lines. What a full disk took only in part is taken away again.
 */
export function appendLine(path: string, line: string): string | null {
  try {
    makeFolders(dirname(path));
    const descriptor = openRegular(path, constants.O_RDWR | constants.O_APPEND | constants.O_CREAT);
    try {
      append(descriptor, line);
      fsyncSync(descriptor);
    } finally {
      closeSync(descriptor);
    }
    return null;
  } catch (error) {
    return `the diary ${path} cannot be written: ${notWritten(error).message}`;
  }
}

function append(descriptor: number, line: string): void {
  const { size } = fstatSync(descriptor);
  const last = Buffer.alloc(1);
  if (size > 0) readSync(descriptor, last, 0, 1, size - 1);
  const torn = size > 0 && last[0] !== 0x0a;
  const bytes = Buffer.from(`${torn ? '\n' : ''}${line}\n`);
  let at = 0;
  try {
    while (at < bytes.length) at += writeSync(descriptor, bytes, at);
  } catch (error) {
    // Only while nobody else has written after it: a torn line spoils none but itself.
    if (at > 0 && fstatSync(descriptor).size === size + at) ftruncateSync(descriptor, size);
    throw error;
  }
}
