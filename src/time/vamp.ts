import { type Chart, type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import { soundingNotes } from '../hand/fingering.js';
import { type ArrangedPass, type ArrangeOptions, patternOf } from './arrange.js';
import { compileScore, type Score, scoreBar } from './score.js';
import { ticksPerQuarter } from './units.js';

/**
 * A pass in which one bar has only one of its chords, from its beginning to its end: what is played while everybody waits
 * on that chord. All else is as it was, so that the music can come and go within the bar.
 */
export function vampScore(
  chart: Chart,
  pass: ArrangedPass,
  place: { readonly bar: number; readonly cell: number },
  options: ArrangeOptions,
): Score {
  const bar = pass.bars[place.bar];
  const cell = bar?.cells[place.cell];
  const placed = pass.score.bars[place.bar];
  if (!bar || !cell || !placed) return pass.score;
  const fingering = pass.plan.changes[pass.changeAt[place.bar]?.[place.cell] ?? -1]?.fingering;
  const { wait: _, slowing: __, ...inTempo } = bar;
  const beats = placed.stops ? placed.length / (quartersPerBeat(bar.meter) * ticksPerQuarter) : bar.beats;
  const alone: PlayedBar = {
    ...inTempo,
    // As long as the bar with all its waits, so that the music can leave it and come back at any place.
    beats,
    cells: [{ number: cell.number, chord: cell.chord, at: 0, beats, early: false, ending: 'plain' }],
  };
  const { notes } = compileScore([alone], {
    notesOf: () =>
      fingering ? soundingNotes(options.instrument, fingering.frets).filter((note) => note !== null) : [],
    share: options.share,
    patternOf: () => patternOf(chart, bar, options),
    ...(options.sound ? { sound: options.sound } : {}),
  });
  const held = (notes[0] ?? []).map((note) => ({ ...note, at: note.at + placed.start }));
  // The tune waits with everybody.
  const { elsewhere: ___, lead: ____, ...score } = pass.score;
  const inTime = placed.stops || placed.tempos ? scoreBar(alone, placed.start) : placed;
  const placedBars = score.bars.map((own, index) => (index === place.bar ? inTime : own));
  return {
    ...score,
    bars: placedBars,
    notes: score.notes.map((own, index) => (index === place.bar ? held : own)),
  };
}
