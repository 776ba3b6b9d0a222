import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, realpathSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { folders } from './folders.js';

/** What is kept of a chart: anything that JSON can hold, and when it was played last (ms since 1970; 0 for never). */
export interface KeptChoices {
  readonly choices: Readonly<Record<string, unknown>>;
  readonly played: number;
}

const nothing: KeptChoices = { choices: {}, played: 0 };

/** What is kept of a chart or set; nothing where there is none, or where it cannot be read: only comfort is lost. */
export function recallChoices(file: string, folder: string = folders.state): KeptChoices {
  try {
    const path = keptIn(file, folder);
    const read: unknown = JSON.parse(readFileSync(path, 'utf8'));
    if (typeof read !== 'object' || read === null) return nothing;
    const { choices, played } = read as Record<string, unknown>;
    return {
      choices: typeof choices === 'object' && choices !== null ? (choices as Record<string, unknown>) : {},
      played: typeof played === 'number' && Number.isFinite(played) ? played : 0,
    };
  } catch {
    return nothing;
  }
}

/** Keeps choices beside those that are kept already, by writing aside and renaming. Failure is no matter. */
export function keepChoices(
  file: string,
  choices: object,
  played: number | null,
  folder: string = folders.state,
): void {
  try {
    const before = recallChoices(file, folder);
    const path = keptIn(file, folder);
    mkdirSync(join(folder, 'charts'), { recursive: true });
    const aside = `${path}.${process.pid}`;
    const kept = {
      file: realPath(file),
      played: played ?? before.played,
      choices: { ...before.choices, ...choices },
    };
    writeFileSync(aside, JSON.stringify(kept));
    renameSync(aside, path);
  } catch {
    // A read-only or full disk: the next start begins as the chart says.
  }
}

/** One file a chart, named for its real path, so that two programs at once harm each other at most in one chart. */
function keptIn(file: string, folder: string): string {
  const name = createHash('sha256').update(realPath(file)).digest('hex').slice(0, 24);
  return join(folder, 'charts', `${name}.json`);
}

function realPath(file: string): string {
  try {
    return realpathSync(file);
  } catch {
    return file;
  }
}
