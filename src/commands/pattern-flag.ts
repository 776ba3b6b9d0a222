import { existsSync } from 'node:fs';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import { type Chart, meterText, type Place, type PlayedBar } from '../chart/chart.js';
import type { Fault } from '../chart/fault.js';
import { isBassLine, isLevel } from '../chart/level.js';
import { unroll } from '../chart/unroll.js';
import { chartFiles } from '../config/files.js';
import { folders } from '../config/folders.js';
import { isMadeFor, type Pattern, patterns } from '../time/pattern.js';
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
      `--pattern “${safeText(wanted)}” is not a pattern${didYouMean(wanted, names)}`,
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

/** Refuses `--pattern` for a chart in whose meters it says nothing. */
export function refuseMisfit(chart: Chart, pattern: Pattern): void {
  const misfit = misfitIn(pattern, unroll(chart).bars);
  if (misfit !== null)
    throw new Stop(exit.call, `--pattern ${misfit}`, 'write --pattern low-chop, or use the chart’s own');
}

/** A warning for each pattern a chart names that is not known, or is not made for the meter of the bars that have it. */
export function unknownPatterns(chart: Chart, own: readonly Pattern[]): Fault[] {
  const all = [...own, ...patterns];
  const { bars } = unroll(chart);
  const told = (name: string, place: Place, of: readonly PlayedBar[]): Fault[] => {
    const pattern = all.find((one) => one.name === name);
    const message = pattern ? misfitIn(pattern, of) : unknownPattern(name, all);
    return message === null ? [] : [{ line: place.line, column: place.column, severity: 'warning', message }];
  };
  const head = chart.pattern === null ? [] : told(chart.pattern, { line: 1, column: 1 }, bars);
  return [
    ...head,
    ...chart.form.flatMap(({ pattern, place }, entry) =>
      pattern
        ? told(
            pattern,
            place,
            bars.filter((bar) => bar.entry === entry),
          )
        : [],
    ),
  ];
}

function unknownPattern(name: string, all: readonly Pattern[]): string {
  if (isLevel(name) || isBassLine(name))
    return `“${safeText(name)}” is not a pattern but says how a part is played; write it alone or after a comma: (${name}), (me, ${name})`;
  const names = all.map((one) => one.name);
  return `“${safeText(name)}” is not a pattern${didYouMean(name, names)}; low-chop is played instead`;
}

/** What is wrong with a pattern in bars of which none has a meter that it is made for; `null` where one has. */
function misfitIn(pattern: Pattern, bars: readonly PlayedBar[]): string | null {
  const [first] = bars;
  if (!first || bars.some(({ meter }) => isMadeFor(pattern, meter))) return null;
  const meters = pattern.felt === 3 ? 'three, such as 3/4 or 9/8' : 'two, such as cut time, 2/4 or 6/8';
  return `“${safeText(pattern.name)}” is for meters felt in ${meters}; in ${meterText(first.meter)} use low-chop`;
}
