import { toChord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { feltBeats, type Meter, type PlayedBar, type PlayedCell, type WrittenCell } from './chart.js';
import type { WrittenBar } from './play-through.js';
import { dotsInBeat, dotsOf, partsOfBeat, sharesEvenly } from './shares.js';

/** Felt beats of a bar in the meter it is played in: those its dots give it, or a full bar's. */
export function beatsOf({ cells }: Pick<WrittenBar, 'cells'>, meter: Meter, crooked: boolean): number {
  const dots = dotsOf(cells);
  return dots === null ? feltBeats(meter) : dots / dotsInBeat(dots, meter, crooked);
}

/** The chords of a bar in a key, sharing its felt beats equally or by their dots. */
export function playedCells({ cells }: Pick<WrittenBar, 'cells'>, beats: number, key: Key): PlayedCell[] {
  const shares = dotsOf(cells) ?? cells.length;
  let before = 0;
  return cells.map((cell) => {
    const own = cell.dots ?? 1;
    const at = (before * beats) / shares;
    before += own;
    return playedCell(cell, at, (own * beats) / shares, key);
  });
}

/** The dots of a played bar's chords as they would be written; `null` where they share a full bar evenly without. */
export function playedDots({
  cells,
  meter,
  beats: whole,
}: Pick<PlayedBar, 'cells' | 'meter' | 'beats'>): readonly number[] | null {
  const [first] = cells;
  const even = cells.every(({ beats }) => Math.abs(beats - (first?.beats ?? 0)) < 1e-9);
  if (even && whole === feltBeats(meter) && sharesEvenly(cells.length, meter)) return null;
  const isWhole = (each: number): boolean =>
    cells.every(({ beats }) => Math.abs(beats * each - Math.round(beats * each)) < 1e-9);
  const each = isWhole(1) ? 1 : partsOfBeat(meter);
  return cells.map(({ beats }) => Math.round(beats * each));
}

/**
 * How long a held chord is where nobody releases it and nothing is written: twice as long as it is written (common practice
 * where a fermata is counted).
 */
export const usualHold = 2;

function playedCell(cell: WrittenCell, at: number, beats: number, key: Key): PlayedCell {
  const { chord: number, early, ending, hold } = cell;
  const played = { number, chord: number && toChord(number, key), at, beats, early, ending };
  return hold ? { ...played, hold: Math.max(beats, hold.beats ?? usualHold * beats) } : played;
}
