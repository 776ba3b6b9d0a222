import { join } from 'node:path';
import * as v from 'valibot';
import { folders } from './folders.js';
import { type StateFile, stateFile } from './state-file.js';

const finite = v.pipe(v.number(), v.finite());
const entry = v.object({
  ms: finite,
  spreadMs: finite,
  headphones: v.boolean(),
});
const schema = v.object({
  pairs: v.fallback(v.pipe(v.record(v.string(), v.unknown()), v.transform(known)), {}),
});

/**
 * What calibration found for a pair of output and microphone. `ms`: how much later than it is due at an output without offset a sound is heard. With
 * `headphones` it was measured by chops of the player: their own lead is in it, so that strokes are judged by spread and drift, not by an absolute lead.
 */
export type Calibration = Readonly<v.InferOutput<typeof entry>>;

/** Kept pairs at most: the newest. */
const mostPairs = 64;

/** What is kept for an output, as the command line names it, and a microphone by its name; `null` where nothing is. */
export function recallCalibration(
  out: string,
  microphone: string,
  folder: string = folders.state,
): Calibration | null {
  return fileIn(folder).read()?.pairs[nameOf(out, microphone)] ?? null;
}

/** Keeps it in place of the one before; a sentence where it cannot be kept. */
export function keepCalibration(
  out: string,
  microphone: string,
  calibration: Calibration,
  folder: string = folders.state,
): string | null {
  const name = nameOf(out, microphone);
  const before = Object.entries(fileIn(folder).read()?.pairs ?? {}).filter(([other]) => other !== name);
  const pairs = Object.fromEntries([...before.slice(1 - mostPairs), [name, calibration]]);
  return fileIn(folder).write({ pairs });
}

function nameOf(out: string, microphone: string): string {
  return JSON.stringify([out, microphone]);
}

function fileIn(folder: string): StateFile<{ pairs: Record<string, Calibration> }> {
  return stateFile(join(folder, 'calibrations.json'), schema);
}

/** The entries that can be used. */
function known(entries: Record<string, unknown>): Record<string, Calibration> {
  return Object.fromEntries(
    Object.entries(entries).flatMap(([name, value]) => {
      const read = v.safeParse(entry, value);
      return read.success ? [[name, read.output] as const] : [];
    }),
  );
}
