import type { Chart, PlayedBar, RangeNote } from '../chart.js';
import { height } from '../read-head.js';
import { unroll } from '../unroll.js';
import { type PlayedNote, playedTune } from './play-tune.js';
import { tonicNumber } from './tune-pitch.js';

/** The lowest and the highest degree that is sung. */
export type SungRange = NonNullable<Chart['range']>;

/** How half steps above the tonic are called where no key says it: as numbers usually are. */
const degrees = ['1', 'b2', '2', 'b3', '3', '4', '#4', '5', 'b6', '6', 'b7', '7'] as const;

/** The range of a chart: as its head has it, else that of its tune; `null` where it has neither. */
export function sungRange(chart: Chart): SungRange | null {
  return chart.range ?? rangeOfTune(chart, unrolled(chart));
}

function unrolled(chart: Chart): readonly PlayedBar[] {
  return chart.tune ? unroll(chart, { final: true }).bars : [];
}

/** The lowest and the highest degree of the tune through a pass, counted in the song's own key. */
export function rangeOfTune(chart: Chart, bars: readonly PlayedBar[]): SungRange | null {
  const notes = playedTune(chart, bars, { home: chart.key });
  const [first] = notes;
  if (!first) return null;
  const low = notes.reduce((least, note) => (note.pitch < least.pitch ? note : least), first);
  const high = notes.reduce((most, note) => (note.pitch > most.pitch ? note : most), first);
  return { low: rangeNote(low, chart), high: rangeNote(high, chart) };
}

function rangeNote({ pitch }: PlayedNote, chart: Chart): RangeNote {
  const above = pitch - tonicNumber(chart.key, chart.key);
  const octave = Math.floor(above / 12);
  const name = degrees[above - 12 * octave] ?? '1';
  const alter = name.startsWith('b') ? -1 : name.startsWith('#') ? 1 : 0;
  return { degree: Number(name.at(-1)), alter, octave };
}

/** Whether a written range differs from the tune's. Which octave counts as the first is free: all of it may be an octave off. */
export function contradicts(written: SungRange, tune: SungRange): boolean {
  const low = height(written.low) - height(tune.low);
  return low % 12 !== 0 || height(written.high) - height(tune.high) !== low;
}
