import { lstatSync, mkdirSync, rmdirSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { NotWritten } from './why-not.js';

/** Whether a path is taken, be it by a link that leads nowhere. */
export function isThere(path: string): boolean {
  return lstatSync(path, { throwIfNoEntry: false }) !== undefined;
}

/**
 * Makes a folder and those above it that are missing; answers those that were made, the outermost first. One after the
 * other: Node's own way never comes back where the system says that a folder is not there which cannot be made (`/proc`).
 */
export function makeFolders(folder: string): readonly string[] {
  const missing: string[] = [];
  for (let at = folder; !isThere(at); at = dirname(at)) missing.unshift(at);
  const made: string[] = [];
  try {
    for (const one of missing) {
      if (makeOne(one)) made.push(one);
    }
    if (!statSync(folder).isDirectory()) throw new NotWritten('part of the path is not a folder', 'call');
    return made;
  } catch (error) {
    removeFolders(made);
    throw error;
  }
}

/** Answers whether it was made here, and not by another program in the same moment. */
function makeOne(folder: string): boolean {
  try {
    mkdirSync(folder);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

/** Removes folders that were made for nothing, as far as they are still empty. */
export function removeFolders(made: readonly string[]): void {
  for (const folder of made.toReversed()) {
    try {
      rmdirSync(folder);
    } catch {
      return;
    }
  }
}
