import type { PlayedBar } from '../chart/chart.js';
import type { NoteEvent } from './event.js';
import { compileScore, type Score } from './score.js';
import type { Sound } from './sound.js';

/** What a loop is made of: the bars of the pass, where they stand, and how their bass is played. */
export interface Looped {
  readonly bars: readonly PlayedBar[];
  readonly score: Score;
  readonly walks: (bar: PlayedBar) => boolean;
  readonly sound?: Sound;
}

/**
 * The notes of a loop's last bar with a run of the bass into its first, for when the loop is played again; `null` where there
 * is none. `from` to `to` are bars of the pass, half open.
 */
export function loopLead(
  { bars, score, walks, sound }: Looped,
  { from, to }: { readonly from: number; readonly to: number },
): readonly NoteEvent[] | null {
  const first = bars[from];
  const last = bars[to - 1];
  const placed = score.bars[to - 1];
  const own = score.notes[to - 1];
  if (!first || !last || !placed || !own || !walks(last)) return null;
  // The bars alone, so that the first one follows the last; of one bar the pass is that bar.
  const alone = compileScore(to - from === 1 ? [last] : [first, last], {
    notesOf: () => [],
    walks,
    ...(sound ? { sound } : {}),
  });
  const at = alone.bars.length - 1;
  if (!alone.elsewhere?.[at]) return null;
  const shift = placed.start - (alone.bars[at]?.start ?? 0);
  const bass = (alone.notes[at] ?? []).map((note) => ({ ...note, at: note.at + shift }));
  return [...bass, ...own.filter(({ voice }) => voice !== 'bass')];
}
