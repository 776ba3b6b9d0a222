import { closeSync, existsSync, mkdirSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { dirname } from 'node:path';

/** What came of writing a file that is handed out: nothing, or a sentence that says why not. */
export function writeOut(path: string, content: string | Uint8Array, force: boolean): string | null {
  const aside = `${path}.${process.pid}.part`;
  try {
    makeFolder(dirname(path));
  } catch (error) {
    return `${path} cannot be written (${(error as NodeJS.ErrnoException).code ?? 'unknown reason'})`;
  }
  try {
    // Without leave to write over what is there, the name is taken first, so that nobody else's file can be lost.
    const target = force ? aside : path;
    const descriptor = openSync(target, 'wx');
    try {
      const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
      for (let at = 0; at < bytes.length; ) at += writeSync(descriptor, bytes, at);
    } finally {
      closeSync(descriptor);
    }
    if (force) renameSync(aside, path);
    return null;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST' && !force) return `${path} is there already; --force writes over it`;
    try {
      rmSync(aside, { force: true });
    } catch {
      // Where nothing can be written nothing was left.
    }
    return `${path} cannot be written (${code ?? 'unknown reason'})`;
  }
}

/** One after the other: Node's own way never comes back where a folder cannot be made and yet is not said to be there (`/proc`). */
function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  makeFolder(dirname(folder));
  mkdirSync(folder);
}
