import type { DiaryEntry } from '../diary.js';
import type { DictationFigures, DictationKind } from './figures.js';
import { dictationLevels, levelAt } from './levels.js';

/** Where a player stands: at which level, from 0, and how many phrases in a row were good or bad there. */
export interface Standing {
  readonly level: number;
  readonly goodInRow: number;
  readonly badInRow: number;
}

/** This many good phrases in a row raise the level, as many bad ones lower it; the same number as on a tempo ladder. */
export const inRow = 2;
/** A phrase is good from this share of right answers on, and bad below the other one. */
export const goodFrom = 0.85;
export const badBelow = 0.6;
/** A phrase of fewer changes says nothing. */
const fewest = 3;

/** Where everybody begins. */
export const firstStanding: Standing = { level: 0, goodInRow: 0, badInRow: 0 };

/** How a phrase went: the share of its changes that were named right, from 0 to 1. */
export function shareRight({ moves }: Pick<DictationFigures, 'moves'>): number {
  return moves.filter(([, , , right]) => right).length / Math.max(1, moves.length);
}

/**
 * The standing after a phrase: a level up after two good ones in a row, down after two bad ones, and neither after one that is
 * between. Down already while nearly half is right, since between three chords a third comes by chance.
 */
export function afterPhrase(before: Standing, figures: Pick<DictationFigures, 'moves'>): Standing {
  if (figures.moves.length < fewest) return before;
  const share = shareRight(figures);
  const goodInRow = share >= goodFrom ? before.goodInRow + 1 : 0;
  const badInRow = share < badBelow ? before.badInRow + 1 : 0;
  if (goodInRow >= inRow)
    return { ...firstStanding, level: Math.min(dictationLevels.length - 1, before.level + 1) };
  if (badInRow >= inRow) return { ...firstStanding, level: Math.max(0, before.level - 1) };
  return { ...before, goodInRow, badInRow };
}

/** Where a player stands by the diary: each phrase moves the level at which it was asked. Phrases that were stopped do not count. */
export function standingOf(entries: readonly DiaryEntry[], asks: DictationKind): Standing {
  let standing = firstStanding;
  for (const { dictation, result } of entries) {
    if (!dictation || dictation.asks !== asks || dictation.level === null || result === 'unmarked') continue;
    const level = levelAt(dictation.level);
    if (level === null) continue;
    // A level that was chosen by hand is where it goes on from.
    const here = level === standing.level ? standing : { ...firstStanding, level };
    standing = afterPhrase(here, dictation);
  }
  return standing;
}
