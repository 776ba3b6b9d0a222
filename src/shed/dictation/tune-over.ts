import type { DictationKind } from './figures.js';
import { inRow, type Standing } from './standing.js';

/** The first level, from 0, at which a tune is played over phrases where nobody says whether. */
export const firstWithTune = 2;

/**
 * Whether a tune is played over a phrase that is made up. Where nobody says so, never on the first two levels, on which the ear learns to hear
 * a change at all; from the third on over the phrase that could raise the level: chords are heard by themselves first, and nobody leaves a level
 * without having heard them under a tune, as with other players. Never where the bass is asked about by itself.
 *
 * @param tune what was said; `null` for nothing
 */
export function hasTuneOver(
  asks: DictationKind,
  tune: boolean | null,
  { level, goodInRow }: Pick<Standing, 'level' | 'goodInRow'>,
): boolean {
  if (asks !== 'changes') return false;
  return tune ?? (level >= firstWithTune && goodInRow >= inRow - 1);
}
