import { existsSync } from 'node:fs';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import type { Fault } from '../chart/fault.js';
import { chartFiles } from '../config/files.js';
import { folders } from '../config/folders.js';
import { type Pattern, patterns } from '../time/pattern.js';
import { exit, Stop, say } from './exit.js';
import { faultText, type Loaded, load, loadGood } from './load.js';

/** The patterns in the user's own folder; faulty ones are told on stderr and left out. */
export function ownPatterns(folder: string = folders.patterns): Pattern[] {
  return chartFiles(folder).flatMap((file) => {
    const loaded = loadOrSay(file);
    if (!loaded) return [];
    for (const fault of loaded.faults) say(...faultText(loaded, fault));
    return loaded.content?.kind === 'pattern' ? [loaded.content.pattern] : [];
  });
}

/** What a file of a folder holds; one that cannot be read at all is told on stderr. */
function loadOrSay(file: string): Loaded | null {
  try {
    return load(file);
  } catch (error) {
    if (!(error instanceof Stop)) throw error;
    say(error.what);
    return null;
  }
}

/** The names of all patterns there are. */
export function patternNames(): string[] {
  return [...ownPatterns(), ...patterns].map(({ name }) => name);
}

/** Reads `--pattern`: one by its name, or a file. */
export function patternFlag(wanted: string, own: readonly Pattern[]): Pattern {
  const all = [...own, ...patterns];
  const known = all.find((one) => one.name === wanted);
  if (known) return known;
  const names = all.map((one) => one.name);
  if (!existsSync(wanted))
    throw new Stop(
      exit.call,
      `--pattern “${safeText(wanted)}” is no pattern${didYouMean(wanted, names)}`,
      `there are ${names.join(', ')}, or name a file`,
    );
  const content = loadGood(wanted);
  if (content.kind === 'pattern') return content.pattern;
  throw new Stop(
    exit.call,
    `${safeText(wanted)} is a ${content.kind}, not a pattern`,
    'a pattern has “strokes:” and below it “  - 1 low”, “  - 2 chop”',
  );
}

/** A warning for each pattern a chart names that is not known: the basic one is played for it. */
export function unknownPatterns(chart: Chart, own: readonly Pattern[]): Fault[] {
  const names = [...own, ...patterns].map((one) => one.name);
  const unknown = (name: string, place: { line: number; column: number }): Fault[] =>
    names.includes(name)
      ? []
      : [
          {
            line: place.line,
            column: place.column,
            severity: 'warning',
            message: `“${safeText(name)}” is no pattern${didYouMean(name, names)}; low-chop is played for it`,
          },
        ];
  const head = chart.pattern === null ? [] : unknown(chart.pattern, { line: 1, column: 1 });
  return [
    ...head,
    ...chart.form.flatMap((entry) => (entry.pattern ? unknown(entry.pattern, entry.place) : [])),
  ];
}
