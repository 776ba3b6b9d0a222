import type { Chart } from '../chart/chart.js';
import { hasFinalBars } from '../chart/unroll.js';
import type { Arrangement } from '../time/arrange.js';
import { leadNotes, struckNotes } from '../time/lead.js';

/** A note of the tune in a file: when it begins and ends, and its MIDI number. */
export interface FileNote {
  readonly tick: number;
  readonly end: number;
  readonly note: number;
}

/**
 * The tune of all passes one behind the other, tied notes as one. In front of the first pass its pick-up lies before `from`;
 * between passes it takes the end of the pass before.
 *
 * @param from the tick of the first pass's start
 */
export function leadOfPasses(
  chart: Chart,
  arrangement: Arrangement,
  passes: number,
  from: number,
): readonly FileNote[] {
  if (!chart.tune) return [];
  const found: FileNote[] = [];
  let start = from;
  for (let pass = 1; pass <= passes; pass += 1) {
    const final = pass === passes && hasFinalBars(chart) ? arrangement.final : null;
    const { bars, score } = final ?? arrangement;
    const starts = score.bars.map((bar) => bar.start as number);
    const notes = struckNotes(leadNotes(chart, bars, { key: arrangement.key, starts }));
    const first = start + (notes[0]?.tick ?? 0);
    // A pick-up gives way to notes that begin there, which the end of the pass has for it.
    const taken = pass > 1 && found.some(({ tick }) => tick >= first);
    const last = found.at(-1);
    if (last && !taken && last.end > first) found[found.length - 1] = { ...last, end: first };
    for (const { tick, ticks, pitch } of notes)
      if (tick >= 0 || !taken) found.push({ tick: start + tick, end: start + tick + ticks, note: pitch });
    start += score.length;
  }
  return found;
}
