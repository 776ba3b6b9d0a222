import { randomBytes } from 'node:crypto';
import { readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** The name of a temporary file: the process that writes it, and a random part. */
const asideName = /^\.barkline-(\d{1,10})-[0-9a-f]{16}\.part$/;
/** A temporary file of this age is left over, ms. */
const oldMs = 24 * 60 * 60_000;
/** Younger ones are left alone even where their process is not seen: it may be one of another machine, ms. */
const youngMs = 60_000;

/** A path for a temporary file in a folder. It is hidden, and its name is not that of a chart file. */
export function asidePath(folder: string): string {
  return join(folder, `.barkline-${process.pid}-${randomBytes(8).toString('hex')}.part`);
}

const swept = new Set<string>();

/** Removes what programs that were ended in the middle of a writing have left in a folder; once a folder and run. */
export function sweepAsides(folder: string, now: number = Date.now()): void {
  if (swept.has(folder)) return;
  swept.add(folder);
  sweep(folder, now);
}

/** Removes temporary files of a folder that nobody is writing any more. Failure does not matter. */
export function sweep(folder: string, now: number): void {
  try {
    for (const name of readdirSync(folder)) {
      const pid = asideName.exec(name)?.[1];
      if (pid === undefined) continue;
      const age = now - statSync(join(folder, name)).mtimeMs;
      if (age > oldMs || (age > youngMs && !isAlive(Number(pid))))
        rmSync(join(folder, name), { force: true });
    }
  } catch {
    // Another program removed it first, or the folder may not be read.
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ESRCH';
  }
}
