import { join } from 'node:path';
import * as v from 'valibot';
import { folderOf, type Who } from './diary-file.js';
import { folders } from './folders.js';
import { type StateFile, stateFile } from './state-file.js';

const schema = v.object({
  /** The step at which the path was begun, `end` for after all of it, `null` for its first. */
  start: v.fallback(v.nullable(v.string()), null),
  /** Steps that somebody declared done, or wanted again; when, ms since 1970. */
  steps: v.fallback(
    v.record(v.string(), v.object({ as: v.picklist(['done', 'again']), at: v.pipe(v.number(), v.finite()) })),
    {},
  ),
});

/** A player's marks of the path, as they are kept. */
export type KeptPath = Readonly<v.InferOutput<typeof schema>>;

/** Where a player's marks of the path are kept; beside the diary. */
export function pathFile(who: Who, folder: string = folders.state): StateFile<KeptPath> {
  return stateFile(join(folderOf(who, folder), 'path.json'), schema);
}
