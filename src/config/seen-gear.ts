import { join } from 'node:path';
import * as v from 'valibot';
import { folders } from './folders.js';
import { type StateFile, stateFile } from './state-file.js';

/** Gear that a shell's completion found a moment ago: when (ms since 1970), and its names. */
export interface SeenGear {
  readonly at: number;
  readonly names: readonly string[];
}

const schema = v.object({ at: v.number(), names: v.array(v.string()) });

/** Where that is kept, by what kind of gear it is: `output`. */
export function seenGear(kind: string, folder: string = folders.state): StateFile<SeenGear> {
  return stateFile(join(folder, `seen-${kind}.json`), schema as v.GenericSchema<unknown, SeenGear>, {
    flush: false,
  });
}
