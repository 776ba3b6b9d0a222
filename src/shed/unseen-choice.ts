import type { Key } from '../theory/key.js';
import { joins, resolves } from './unseen-changes.js';
import type { Line } from './unseen-line.js';
import type { LevelRules, Pace } from './unseen-rules.js';

/** What all sections of a song share. */
export interface SongMeans {
  readonly mode: Key['mode'];
  readonly rules: LevelRules;
  /** The numbers of the song, and those of them that give it its colour. */
  readonly numbers: ReadonlySet<string>;
  readonly colour: ReadonlySet<string>;
  readonly waltz: boolean;
  readonly random: () => number;
}

/** The cells of a line: `1`, or `1.5` for two chords in the time of one. */
export type Cells = readonly string[];

/** Where a line is to stand: what the section has before it, and the line that is to come after it where that is known. */
export interface LinePlace {
  readonly before: Cells;
  readonly after: Cells | undefined;
  readonly pace: Pace;
}

/** The chords of cells, one after the other. */
export function chordsOf(cells: Cells): readonly string[] {
  return cells.flatMap((cell) => cell.split('.'));
}

/**
 * The lines that can be in a place, with the weights that they have for a song: in its numbers, joined well to what is
 * there, and another line than the one before.
 */
export function choices(
  lines: readonly Line[],
  { before, after, pace }: LinePlace,
  means: SongMeans,
): readonly (readonly [number, Cells])[] {
  const { numbers, colour, rules, mode, waltz } = means;
  const lastLine = before.slice(-4).join(' ');
  return lines.flatMap(({ weight, text, cells, chords }) => {
    const shares = pace < 2 && text.includes('.');
    if (shares && (pace < 1 || waltz || rules.sharedBars === 0)) return [];
    if (!chords.every((chord) => numbers.has(chord)) || text === lastLine) return [];
    if (!follows(before, cells, pace, means) || !joinsWell(before, cells, mode)) return [];
    if (after && !follows([...before, ...cells], after, pace, means)) return [];
    const coloured = chords.some((chord) => colour.has(chord)) ? rules.coloured : 1;
    return [[weight * coloured * (shares ? rules.sharedBars : 1), cells] as const];
  });
}

/** Whether cells may come after those before: what leads arrives, and no chord is held longer than the level has it. */
export function follows(before: Cells, cells: Cells, pace: Pace, { rules }: SongMeans): boolean {
  const first = cells[0] as string;
  const last = lastChord(before);
  const held = lengthAlike(cells, first) + lengthAlike([...before].reverse(), first);
  return held * pace <= rules.longest && (last === undefined || resolves(last, firstChord(cells)));
}

/** Whether cells come after others by a usual change. A line that comes again may, as a new start, come after any. */
export function joinsWell(before: Cells, cells: Cells, mode: Key['mode']): boolean {
  const last = lastChord(before);
  return last === undefined || joins(last, firstChord(cells), mode);
}

function firstChord(cells: Cells): string {
  return (cells[0] as string).split('.')[0] as string;
}

function lastChord(cells: Cells): string | undefined {
  return cells.at(-1)?.split('.').at(-1);
}

function lengthAlike(cells: Cells, cell: string): number {
  const other = cells.findIndex((one) => one !== cell);
  return other < 0 ? cells.length : other;
}
