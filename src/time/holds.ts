import type { PlayedBar, PlayedCell } from '../chart/chart.js';
import { chordName } from '../theory/chord.js';
import { type Pattern, strokesIn } from './pattern.js';
import { beatTick, eighth } from './place.js';

/** Whether a cell's chord continues from the one before and into the next, under a pattern that strikes only changes. */
export interface Hold {
  /** The chord was struck before and rings on. */
  readonly held: boolean;
  /** Tick of the pass up to which it rings. */
  readonly until: number;
}

/** For every cell of a pass, where its chord goes on unchanged under a pattern that only rings. */
export function chordHolds(
  bars: readonly PlayedBar[],
  placed: readonly { readonly start: number }[],
  patterns: readonly Pattern[],
): Hold[][] {
  const holds = bars.map((bar): Hold[] => bar.cells.map(() => ({ held: false, until: 0 })));
  let until = 0;
  let after: PlayedCell | null = null;
  let follower = bars[0]?.cells[0];
  for (let index = bars.length - 1; index >= 0; index -= 1) {
    const bar = bars[index] as PlayedBar;
    const rings = isRinging(patterns[index] as Pattern, bar);
    for (let cell = bar.cells.length - 1; cell >= 0; cell -= 1) {
      const here = bar.cells[cell] as PlayedCell;
      const stops = bar.wait !== undefined && cell === bar.cells.length - 1;
      const goesOn = rings && !stops && after !== null && isSameChord(here, after);
      const end = here.at + here.beats - (follower?.early ? eighth(bar) : 0);
      if (!goesOn) until = (placed[index] as { start: number }).start + beatTick(end, bar);
      follower = here;
      (holds[index] as Hold[])[cell] = { held: false, until };
      if (goesOn) markHeld(holds, index, cell);
      after = rings ? here : null;
    }
  }
  return holds;
}

/** Marks the cell after this one as held. */
function markHeld(holds: Hold[][], bar: number, cell: number): void {
  const row = holds[bar] as Hold[];
  const [list, index] = cell + 1 < row.length ? [row, cell + 1] : [holds[bar + 1] as Hold[], 0];
  list[index] = { ...(list[index] as Hold), held: true };
}

/** Whether a pattern strikes nothing in a bar but changes, and lets them ring. */
export function isRinging(pattern: Pattern, bar: PlayedBar): boolean {
  return pattern.change === 'ring' && strokesIn(pattern, bar.meter).length === 0;
}

/** Whether a chord goes on into the next cell, with nothing marked there that would strike it again. */
function isSameChord(one: PlayedCell, next: PlayedCell): boolean {
  if (!one.chord || !next.chord || next.early || next.ending !== 'plain' || one.ending !== 'plain')
    return false;
  return chordName(one.chord) === chordName(next.chord);
}
