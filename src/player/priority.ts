import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { setPriority } from 'node:os';

/** The priorities that are asked for, the best first: a process that sleeps nearly always harms nobody by being first. */
const wanted = [-20, -15, -10, -5];
/** Where Linux keeps the priority of a session, when it schedules by sessions. */
const sessionFile = '/proc/self/autogroup';

/**
 * Has this process go before others, as far as that is permitted; where it is not, the clock is a little less exact. Linux
 * usually shares time among sessions first, and a process's own priority holds only within its session: the player, which is
 * alone in its own, would get no more than any other. So the session is given the priority as well.
 */
export function goFirst(): void {
  const reached = wanted.find((priority) => permitted(() => setPriority(priority)));
  if (reached !== undefined) permitted(() => writeFileSync(sessionFile, String(reached)));
  if (process.platform === 'linux') goRealTime();
}

/**
 * Asks for real time, at its lowest: then the player need not wait until another's slice is over, some milliseconds, when its
 * time has come. Node cannot ask for it, but a small program that is nearly everywhere can. It holds for threads that are started
 * later too, as the sound's. The loop sleeps until shortly before each deadline, and the system keeps a share for the rest.
 */
function goRealTime(): void {
  spawn('chrt', ['--rr', '--pid', '1', String(process.pid)], { stdio: 'ignore' })
    .on('error', () => {})
    .unref();
}

/** Whether the system let something be done. */
function permitted(act: () => void): boolean {
  try {
    act();
    return true;
  } catch {
    return false;
  }
}
