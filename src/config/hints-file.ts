import { join } from 'node:path';
import * as v from 'valibot';
import { folders } from './folders.js';
import { recallAnything } from './remembered.js';
import { stateFile } from './state-file.js';

/** Code that shows hints decides which names are known. */
const schema = v.array(v.string());

/**
 * The hints that are still to be shown: all of them on a first run, when nothing was ever kept; else what was left, or none.
 * After this call the next run is no longer a first run.
 */
export function recallHints(all: readonly string[], folder: string = folders.state): readonly string[] {
  const file = fileIn(folder);
  const left = file.read();
  if (left) return all.filter((name) => left.includes(name));
  if (recallAnything(folder)) return [];
  file.write([...all]);
  return all;
}

/** Keeps which hints are left. Failure does not matter: then they are shown once more. */
export function keepHints(left: readonly string[], folder: string = folders.state): void {
  fileIn(folder).write([...left]);
}

function fileIn(folder: string) {
  return stateFile(join(folder, 'hints.json'), schema, { flush: false });
}
