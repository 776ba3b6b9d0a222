import { toChord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import type { PlayedCell, WrittenCell } from './chart.js';
import type { WrittenBar } from './play-through.js';

/** Felt beats of a bar: those its dots give it, or a full bar's. */
export function beatsOf(bar: WrittenBar, full: number): number {
  if (bar.cells[0]?.dots == null) return full;
  return bar.cells.reduce((sum, cell) => sum + (cell.dots ?? 0), 0);
}

/** The chords of a bar in a key, sharing it equally or by their dots. */
export function playedCells(bar: WrittenBar, beats: number, key: Key): PlayedCell[] {
  let before = 0;
  return bar.cells.map((cell, index) => {
    const length = cell.dots ?? beats / bar.cells.length;
    const at = cell.dots === null ? (index * beats) / bar.cells.length : before;
    before += length;
    return playedCell(cell, at, length, key);
  });
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
