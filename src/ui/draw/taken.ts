import type { PlayedBar } from '../../chart/chart.js';
import { type Taken, type TakenBar, takenNumber } from '../../chart/taken.js';
import { toChord } from '../../theory/chord.js';
import { parseNumber } from '../../theory/number.js';

const known = new WeakMap<Taken, PlayedBar[]>();

/** The bars of a count with what was taken down in them; those that nobody called yet are empty. */
export function takenBars(bars: readonly PlayedBar[], taken: Taken): readonly PlayedBar[] {
  const before = known.get(taken);
  if (before && before[0]?.key === bars[0]?.key && before.length === bars.length) return before;
  const last = taken.bars.findLastIndex((bar) => bar !== null);
  let held: TakenBar = null;
  const shown = bars.map((bar, index): PlayedBar => {
    if (index > last) return { ...bar, cells: [] };
    const own = taken.bars[index] ?? null;
    const cells = cellsOf(bar, own ?? held);
    const chord = own?.chords.at(-1);
    if (chord) held = { chords: [chord] };
    return { ...bar, cells };
  });
  known.set(taken, shown);
  return shown;
}

function cellsOf(bar: PlayedBar, taken: TakenBar): PlayedBar['cells'] {
  if (!taken) return bar.cells;
  const length = bar.beats / taken.chords.length;
  return taken.chords.map((one, index) => {
    const read = parseNumber(takenNumber(one));
    const number = read.ok ? read.value : null;
    return {
      number,
      chord: number && toChord(number, bar.key),
      at: index * length,
      beats: length,
      early: false,
      ending: 'plain',
    };
  });
}
