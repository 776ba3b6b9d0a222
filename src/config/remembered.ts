import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { folders } from './folders.js';

/** What is kept from one start to the next. */
export interface Remembered {
  /** The output used last, as the command line names it. */
  readonly out: string | null;
  /** The chart or set played last, by its path. */
  readonly last: string | null;
  /** How much earlier each output is sent to, ms, by its name on the command line. */
  readonly offsets: Readonly<Record<string, number>>;
}

const nothing: Remembered = { out: null, last: null, offsets: {} };

/** Reads what was remembered; a missing or damaged file is the same as nothing remembered. */
export function recall(folder: string = folders.state): Remembered {
  try {
    const read: unknown = JSON.parse(readFileSync(join(folder, 'last.json'), 'utf8'));
    if (typeof read !== 'object' || read === null) return nothing;
    const { out, last, offsets } = read as Record<string, unknown>;
    return {
      out: typeof out === 'string' ? out : null,
      last: typeof last === 'string' ? last : null,
      offsets: numbersOf(offsets),
    };
  } catch {
    return nothing;
  }
}

/** Remembers over what was before, by writing aside and renaming. Failure is no matter: only comfort is lost. */
export function remember(changes: Partial<Remembered>, folder: string = folders.state): void {
  try {
    mkdirSync(folder, { recursive: true });
    const aside = join(folder, `last.json.${process.pid}`);
    writeFileSync(aside, JSON.stringify({ ...recall(folder), ...changes }));
    renameSync(aside, join(folder, 'last.json'));
  } catch {
    // A read-only or full disk: the next start begins with the defaults.
  }
}

/** The entries of a value that are numbers; none where it is nothing of the kind. */
function numbersOf(value: unknown): Record<string, number> {
  if (typeof value !== 'object' || value === null) return {};
  return Object.fromEntries(
    Object.entries(value).filter((entry): entry is [string, number] => Number.isFinite(entry[1])),
  );
}
