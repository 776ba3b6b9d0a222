import { breakAt, capoFor, capoLetters, meansPart, type PartName, sights } from '../../band/parts.js';
import type { PlayedBar } from '../../chart/chart.js';
import type { Performance } from '../../playback/performance.js';
import { arrangeOptions } from '../../playback/setup.js';
import type { FifthString } from '../../theory/fifth-string.js';
import type { Key } from '../../theory/key.js';
import { noteName } from '../../theory/pitch.js';
import { walks } from '../../time/arrange.js';
import { type BassBar, bassLine } from '../../time/bass-line.js';
import { counted, spokenKey, spokenLetters, spokenNote } from './spoken.js';

/** Whose part of a band is told. */
export interface PartTold {
  readonly part: PartName;
  /** The player's name, as it may stand in a chart's form. */
  readonly name: string;
  /** The fret of the capo; `null`: the lowest that gives open shapes. */
  readonly capo: number | null;
  /** Whether this stand leads. */
  readonly leads: boolean;
}

/** The capo that a part is played with in a key, and a banjo's fifth string; nothing for a part without one. */
export function capoWords(key: Key, { part, capo }: Pick<PartTold, 'part' | 'capo'>): readonly string[] {
  if (!sights[part].capo) return [];
  const { fret, shapes, fifthString } = capoFor(key, capo);
  const string = part === 'banjo' ? `; ${fifthStringWords(fifthString)}` : '';
  return [`${fret === 0 ? 'no capo' : `capo ${fret}`}: shapes of ${spokenKey(shapes)}${string}`];
}

function fifthStringWords({ fret, tuned }: FifthString): string {
  if (tuned !== null) return `fifth string tuned down to ${spokenNote(tuned)}`;
  return fret === null ? 'fifth string open' : `fifth string at ${fret}`;
}

/** What a part plays behind a capo in a bar, one for each chord, as it is said after the chord; empty where there is nothing to say. */
export function lettersPlayed(played: PlayedBar, key: Key, told: PartTold | undefined): readonly string[] {
  if (!told || !sights[told.part].capo) return [];
  const letters = capoLetters(played, capoFor(key, told.capo));
  return letters.map((letter) => (letter === '' ? '' : `, plays ${spokenLetters(letter)}`));
}

/** What the bass plays in a bar of a pass; nothing for other parts. */
export function bassWords(
  { setup }: Performance,
  bars: readonly PlayedBar[],
  bar: number,
  told: PartTold | undefined,
): readonly string[] {
  if (!told || !sights[told.part].bass) return [];
  const { notes, leads } = bassOf(setup, bars)[bar] as BassBar;
  const strikes = notes.map(({ note }) => spokenNote(noteName(note))).join(', ');
  return strikes === '' ? [] : [`bass ${strikes}${leads ? ', into the next bar' : ''}`];
}

/** That a part has the break in a bar, or in how many bars it comes. */
export function breakWords(
  { setup: { passes } }: Performance,
  pass: number,
  bars: readonly PlayedBar[],
  bar: number,
  told: PartTold | undefined,
): readonly string[] {
  if (!told) return [];
  const goesRound = passes === null || pass < passes;
  const isMine = (who: string | null): boolean => meansPart(who, told.part, told.name, told.leads);
  const { mine, next } = breakAt(bars, bar, goesRound, isMine);
  return [
    ...(mine ? ['your break'] : []),
    ...(next?.mine ? [`your break in ${counted(next.bars, 'bar')}`] : []),
  ];
}

/** The bass of a pass, worked out once. */
const basses = new WeakMap<readonly PlayedBar[], readonly BassBar[]>();

function bassOf(setup: Performance['setup'], bars: readonly PlayedBar[]): readonly BassBar[] {
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
