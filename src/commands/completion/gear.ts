import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { seenGear } from '../../config/seen-gear.js';

/** The kinds of gear that can be asked for. */
export type Gear = 'output' | 'source' | 'microphone';

/** Pressing Tab again within this time gives the same answer, ms. */
const freshMs = 5000;
/** How long to wait for a list, ms, since the shell waits for it. */
const mostMs = 220;
const mostNames = 100;

/** The names of gear that is there now, or was a moment ago; if the list does not come in time, those that were there last. */
export async function gearNames(gear: Gear, now: number = Date.now()): Promise<readonly string[]> {
  const kept = seenGear(gear);
  const before = kept.read();
  if (before && Math.abs(now - before.at) < freshMs) return before.names;
  const found = await listed(gear);
  if (!found) return before?.names ?? [];
  kept.write({ at: now, names: found });
  return found;
}

function listed(gear: Gear): Promise<readonly string[] | null> {
  const program = fileURLToPath(new URL('./ports-process.js', import.meta.url));
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      [program, gear],
      { timeout: mostMs, killSignal: 'SIGKILL', encoding: 'utf8' },
      (error, text) => resolve(error ? null : read(text)),
    );
  });
}

/** What the process wrote; `null` where that is no list of names. */
function read(text: string): readonly string[] | null {
  try {
    const found: unknown = JSON.parse(text);
    return Array.isArray(found) ? found.filter((one) => typeof one === 'string').slice(0, mostNames) : null;
  } catch {
    return null;
  }
}
