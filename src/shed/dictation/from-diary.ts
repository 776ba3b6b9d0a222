import type { Key } from '../../theory/key.js';
import type { DiaryEntry } from '../diary.js';
import { dueMoves } from './due-moves.js';
import type { DictationKind } from './figures.js';
import { askedMoves } from './move-table.js';
import type { DictationStart } from './round.js';
import type { ChartSource } from './source.js';
import { type Standing, standingOf } from './standing.js';

/** What is asked for, besides what the diary says. */
export interface DictationWishes {
  readonly seed: number;
  /** ms since 1970. */
  readonly now: number;
  /** In place of where the diary has the player stand. */
  readonly standing?: Standing;
  readonly key?: Key | null;
  readonly bpm?: number | null;
  /** Whether a tune is played over changes; by the level when absent. */
  readonly tune?: boolean | null;
  readonly sources?: readonly ChartSource[];
}

/** How a drill by ear begins by a diary: at the level that was reached, with more of what is misheard and of what is due. */
export function startFromDiary(
  entries: readonly DiaryEntry[],
  asks: DictationKind,
  { seed, now, standing, key = null, bpm = null, tune = null, sources = [] }: DictationWishes,
): DictationStart {
  return {
    asks,
    standing: standing ?? standingOf(entries, asks),
    moves: askedMoves(entries, asks),
    due: dueMoves(entries, asks, now),
    seed,
    key,
    bpm,
    tune,
    sources,
  };
}
