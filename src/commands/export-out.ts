import { statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { writeOut } from '../config/write-out.js';
import type { Format } from '../exchange/format.js';
import { exit, printDocument, Stop, unwrittenStatus } from './exit.js';
import { printBytes } from './print.js';

/** To stdout: text as a document, bytes to a program only. */
export function sendOut(content: string | Uint8Array, { name }: Format): void {
  if (typeof content === 'string') printDocument(content);
  else if (process.stdout.isTTY)
    throw new Stop(
      exit.call,
      `${name} cannot be shown in a terminal`,
      'name a file with -o, or pipe it to a program',
    );
  else printBytes(content);
}

/** Where a file goes: to what `-o` says, within it where that is a folder, or where several go there. */
export function exportPath(
  output: string | undefined,
  name: string,
  { extensions: [extension = ''] }: Format,
  several: boolean,
): string {
  const file = `${name}.${extension}`;
  if (output === undefined) return resolve(file);
  return several || isDirectory(output) ? join(resolve(output), file) : resolve(output);
}

function isDirectory(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}

/** Writes a file; what to stop with when it was not written, else `null`. */
export function tryWrite(path: string, content: string | Uint8Array, force: boolean): Stop | null {
  const refusal = writeOut(path, content, force);
  return (
    refusal &&
    new Stop(unwrittenStatus(refusal.blame), safeText(refusal.reason), 'or name another file with -o')
  );
}
