import { breakAt, capoFor, capoLetters, meansPart, type PartName, sights } from '../band/parts.js';
import { safeText } from '../base/safe-text.js';
import type { PlayedBar } from '../chart/chart.js';
import { timeMarks, wayLabel, withMarks } from '../chart/label.js';
import type { NeckSight } from '../hand/neck-sight.js';
import { passViewAt } from '../playback/pass-view.js';
import type { Performance } from '../playback/performance.js';
import { arrangeOptions } from '../playback/setup.js';
import { chordName } from '../theory/chord.js';
import { fifthStringText } from '../theory/fifth-string.js';
import { keyName } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { noteName } from '../theory/pitch.js';
import { walks } from '../time/arrange.js';
import { type BassBar, bassLine } from '../time/bass-line.js';
import { barLine } from './plain-bar.js';

/** Whose part a stand prints. */
export interface PartSeen {
  readonly part: PartName;
  /** The player's name, as it may stand in a chart's form. */
  readonly name: string;
  /** The fret of the capo; `null`: the lowest that gives open shapes. */
  readonly capo: number | null;
  readonly sight: NeckSight;
}

/** One bar as a line, as one part of the band sees it; with whose break it is, or when it comes. */
export function partLine(
  performance: Performance,
  pass: number,
  bar: number,
  seen: PartSeen,
  leads: boolean,
): string {
  const view = passViewAt(performance, pass);
  const played = view?.bars[bar];
  if (!view || !played) return '';
  const { passes } = performance.setup;
  const goesRound = passes === null || pass < passes;
  const isMine = (who: string | null): boolean => meansPart(who, seen.part, seen.name, leads);
  const sight = breakAt(view.bars, bar, goesRound, isMine);
  const comes = sight.next?.mine ? `; your break in ${sight.next.bars}` : '';
  const now = sight.mine ? '; your break' : '';
  return `${ownLine(performance, pass, bar, view.bars, seen)}${now}${comes}`;
}

/** The line below a song's first line for a part: the capo to use. */
export function below({ setup: { key } }: Performance, { part, capo }: PartSeen): readonly string[] {
  if (!sights[part].capo) return [];
  const { fret, shapes, fifthString } = capoFor(key, capo);
  const string = part === 'banjo' ? `; ${fifthStringText(fifthString)}` : '';
  return [`${fret === 0 ? 'no capo' : `capo ${fret}`}: shapes of ${keyName(shapes)}${string}`];
}

function ownLine(
  performance: Performance,
  pass: number,
  bar: number,
  bars: readonly PlayedBar[],
  { part, capo, sight }: PartSeen,
): string {
  const sees = sights[part];
  if (sees.shapes) return barLine(performance, pass, bar, sight);
  const played = bars[bar] as PlayedBar;
  const level = played.level === null ? '' : ` (${played.level})`;
  const way = played.way ? `, ${wayLabel(played.way)}` : '';
  const before = bars[bar - 1]?.key ?? performance.setup.key;
  const key = keyName(before) === keyName(played.key) ? '' : `, key ${keyName(played.key)}`;
  const said = [...chordsSeen(performance, bars, bar, part, capo), ...played.cues.map(safeText)];
  return `pass ${pass} bar ${bar + 1} ${safeText(played.section)}${level}${way}${key}: ${[...said, ...timeMarks(played)].join('; ')}`;
}

function chordsSeen(
  performance: Performance,
  bars: readonly PlayedBar[],
  bar: number,
  part: PartName,
  fret: number | null,
): readonly string[] {
  const played = bars[bar] as PlayedBar;
  const chords = played.cells.map((cell) =>
    cell.number && cell.chord
      ? `${withMarks(numberText(cell.number), cell)} ${chordName(cell.chord)}`
      : 'no chord',
  );
  if (sights[part].words) return [...(played.words ?? []).map(safeText), ...chords];
  if (sights[part].capo) {
    const letters = capoLetters(played, capoFor(performance.setup.key, fret));
    return chords.map((chord, index) => (letters[index] ? `${chord}, plays ${letters[index]}` : chord));
  }
  if (!sights[part].bass) return chords;
  const { notes, leads } = bassOf(performance, bars)[bar] as BassBar;
  const strikes = notes.map(({ note }) => noteName(note)).join(' ');
  return strikes === '' ? chords : [...chords, `bass ${strikes}${leads ? ', into the next bar' : ''}`];
}

/** The bass of a pass, worked out once. */
const basses = new WeakMap<readonly PlayedBar[], readonly BassBar[]>();

function bassOf({ setup }: Performance, bars: readonly PlayedBar[]): readonly BassBar[] {
  const known = basses.get(bars);
  if (known) return known;
  const options = arrangeOptions(setup);
  const line = bassLine(bars, {
    walks: (played) => walks(setup.chart, played, options),
    endingOf: () => null,
  });
  basses.set(bars, line);
  return line;
}
