import { randomBytes } from 'node:crypto';
import { readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** A file that is written aside: by whom, and a part that no other has. */
const asideName = /^\.barkline-(\d{1,10})-[0-9a-f]{16}\.part$/;
/** From this age on an aside is nobody's any more, ms. */
const oldMs = 24 * 60 * 60_000;
/** Younger ones are left alone even where their process is not seen: it may be one of another machine, ms. */
const youngMs = 60_000;

/** A path in a folder for something that is written aside. It is hidden, and no chart file by its name. */
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

/** Removes the asides of a folder that nobody writes any more. Failure is no matter. */
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
    // Somebody else sweeps too, or the folder may not be read.
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
