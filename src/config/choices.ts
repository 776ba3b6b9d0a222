import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import * as v from 'valibot';
import { folders } from './folders.js';
import { keptName, realPath } from './real-path.js';
import { type StateFile, stateFile } from './state-file.js';

const schema = v.object({
  /** The chart's file: for people who look. */
  file: v.fallback(v.string(), ''),
  choices: v.fallback(v.record(v.string(), v.unknown()), {}),
  played: v.fallback(v.pipe(v.number(), v.finite()), 0),
});

/** What is kept of a chart: anything that JSON can hold, and when it was played last (ms since 1970; 0 for never). */
export type KeptChoices = Readonly<Pick<v.InferOutput<typeof schema>, 'choices' | 'played'>>;

/** What is kept of a chart or set; nothing if there is none, or if it cannot be read: only convenience is lost. */
export function recallChoices(file: string, folder: string = folders.state): KeptChoices {
  const { choices, played } = fileOf(file, folder).read() ?? { choices: {}, played: 0 };
  return { choices, played };
}

/** When charts and sets were played last, ms since 1970, by their paths; those that never were are not among them. */
export function playedTimes(
  files: readonly string[],
  folder: string = folders.state,
): ReadonlyMap<string, number> {
  const kept = keptCharts(folder);
  if (kept.size === 0) return new Map();
  return new Map(
    files.flatMap((file): [string, number][] => {
      if (!kept.has(`${keptName(file)}.json`)) return [];
      const { played } = recallChoices(file, folder);
      return played > 0 ? [[file, played]] : [];
    }),
  );
}

/** The names of what is kept; none where nothing is. */
function keptCharts(folder: string): ReadonlySet<string> {
  try {
    return new Set(readdirSync(join(folder, 'charts')));
  } catch {
    return new Set();
  }
}

/** Keeps choices beside those that are kept already. Failure does not matter: the next start begins as the chart says. */
export function keepChoices(
  file: string,
  choices: object,
  played: number | null,
  folder: string = folders.state,
): void {
  const before = recallChoices(file, folder);
  fileOf(file, folder).write({
    file: realPath(file),
    choices: { ...before.choices, ...choices },
    played: played ?? before.played,
  });
}

/**
 * One file a chart, named for its real path, so that two programs at once harm each other at most in one chart. A key that
 * is held down changes a choice thirty times a second, so none of them is flushed.
 */
function fileOf(file: string, folder: string): StateFile<v.InferOutput<typeof schema>> {
  return stateFile(join(folder, 'charts', `${keptName(file)}.json`), schema, { flush: false });
}
