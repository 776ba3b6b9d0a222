import { join } from 'node:path';
import * as v from 'valibot';
import { folders } from './folders.js';
import { type StateFile, stateFile } from './state-file.js';

const text = v.fallback(v.nullable(v.string()), null);
const schema = v.object({
  /** The output used last, as the command line names it. */
  out: text,
  /** The chart or set played last, by its path. */
  last: text,
  /** In which order lists of charts are shown. */
  order: text,
  /** How much earlier each output is sent to, ms, by its name on the command line. */
  offsets: v.fallback(v.pipe(v.record(v.string(), v.unknown()), v.transform(numbersOf)), {}),
});

/** What is kept from one start to the next. */
export type Remembered = Readonly<v.InferOutput<typeof schema>>;

const nothing: Remembered = { out: null, last: null, order: null, offsets: {} };

/** Reads what was remembered; a missing or damaged file is the same as nothing remembered. */
export function recall(folder: string = folders.state): Remembered {
  return fileIn(folder).read() ?? nothing;
}

/** Whether anything was ever remembered. */
export function recallAnything(folder: string = folders.state): boolean {
  return fileIn(folder).read() !== null;
}

/** Remembers over what was before. Failure does not matter: the next start begins with the defaults. */
export function remember(changes: Partial<Remembered>, folder: string = folders.state): void {
  fileIn(folder).write({ ...recall(folder), ...changes });
}

function fileIn(folder: string): StateFile<Remembered> {
  return stateFile(join(folder, 'last.json'), schema, { flush: false });
}

/** The entries that are numbers. */
function numbersOf(entries: Record<string, unknown>): Record<string, number> {
  return Object.fromEntries(
    Object.entries(entries).filter((entry): entry is [string, number] => Number.isFinite(entry[1])),
  );
}
