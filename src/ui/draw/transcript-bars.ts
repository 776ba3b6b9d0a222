import type { PlayedBar } from '../../chart/chart.js';
import { neededDots } from '../../chart/shares.js';
import { type CalledBar, calledNumber, type Transcript } from '../../chart/transcript.js';
import { toChord } from '../../theory/chord.js';
import { parseNumber } from '../../theory/number.js';

const known = new WeakMap<Transcript, PlayedBar[]>();

/** The bars of a count with what was written down in them; those that nobody called yet are empty. */
export function transcriptBars(bars: readonly PlayedBar[], transcript: Transcript): readonly PlayedBar[] {
  const before = known.get(transcript);
  if (before && before[0]?.key === bars[0]?.key && before.length === bars.length) return before;
  const last = transcript.bars.findLastIndex((bar) => bar !== null);
  let held: CalledBar = null;
  const shown = bars.map((bar, index): PlayedBar => {
    if (index > last) return { ...bar, cells: [] };
    const called = transcript.bars[index] ?? null;
    const cells = cellsOf(bar, called ?? held);
    const chord = called?.chords.at(-1);
    if (chord) held = { chords: [chord] };
    return { ...bar, cells };
  });
  known.set(transcript, shown);
  return shown;
}

function cellsOf(bar: PlayedBar, transcript: CalledBar): PlayedBar['cells'] {
  if (!transcript) return bar.cells;
  const { chords } = transcript;
  const dots = neededDots(chords.length, bar.meter) ?? chords.map(() => 1);
  const whole = dots.reduce((sum, one) => sum + one, 0);
  let before = 0;
  return chords.map((one, index) => {
    const length = ((dots[index] as number) * bar.beats) / whole;
    const at = before;
    before += length;
    const read = parseNumber(calledNumber(one));
    const number = read.ok ? read.value : null;
    return {
      number,
      chord: number && toChord(number, bar.key),
      at,
      beats: length,
      early: false,
      ending: 'plain',
    };
  });
}
