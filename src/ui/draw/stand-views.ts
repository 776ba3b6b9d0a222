import { quarterTempo } from '../../chart/chart.js';
import { usualNeck } from '../../hand/neck-sight.js';
import {
  beatsHeld,
  handMoment,
  isCalled,
  isHard,
  isHardChange,
  type PassView,
  rangeShown,
} from '../../playback/pass-view.js';
import type { Setup } from '../../playback/setup.js';
import type { Model } from '../state/model.js';
import type { StrokeMark } from '../state/modes.js';
import type { StandView } from '../state/select.js';
import { sightNow } from '../state/sight.js';
import { tuneSight } from '../state/tune-sight.js';
import type { ChartView } from './chart.js';
import type { HandView } from './hand-pane.js';
import { transcriptBars } from './transcript-bars.js';

/** What the chart on the stand is drawn from. */
export function chartView(model: Model, { mode, stand, performance }: StandView, view: PassView): ChartView {
  const { setup, cursor } = performance;
  const { bar, beat, counting } = cursor;
  const { layout, names, ahead, late, words, tune } = sightNow(stand.sight);
  const tempo = quartersNow(setup);
  const range = rangeShown(performance);
  const transcript = mode.kind === 'transcribe' ? mode.transcript : null;
  return {
    chart: setup.chart,
    bars: transcript ? transcriptBars(view.bars, transcript) : view.bars,
    bar,
    beat: counting ? null : beat,
    unicode: model.look.unicode,
    endless: setup.passes === null,
    range: range ?? { from: 0, to: view.bars.length },
    layout: transcript ? 'fours' : layout,
    names,
    ahead,
    words,
    tune: tune && !transcript ? tuneSight(model, performance, view) : null,
    marksIn: model.ear.on && !transcript ? marksIn(stand.strokes) : null,
    isHard: (index, cell) => index >= 0 && isHard(view, index, cell, tempo),
    isCalled: (index, cell) =>
      late === null || isCalled(view, { bar, beat: beat ?? 0 }, range, late, index, cell),
  };
}

/** The marks of each bar. */
function marksIn(strokes: readonly StrokeMark[]): (bar: number) => readonly StrokeMark[] {
  const bars = new Map<number, StrokeMark[]>();
  for (const one of strokes) bars.set(one.bar, [...(bars.get(one.bar) ?? []), one]);
  return (bar) => bars.get(bar) ?? [];
}

/** What the hand beside it is drawn from. */
export function handView(
  { look, session }: Model,
  { stand, performance, drill }: StandView,
  view: PassView,
): HandView {
  const { setup, cursor } = performance;
  const { bar, beat, counting } = cursor;
  // Where a chord waits for the hand, the next one is that of the next bar, and nobody knows when it comes.
  const waits = drill?.drill.start.waits ?? false;
  // Nor does anybody know how long a chord is held.
  const isOpen = waits || cursor.waits === 'chord';
  const range = waits ? null : rangeShown(performance);
  const { now, next, after } = handMoment(view, bar, counting ? 0 : (beat ?? 0), range);
  const { hand, names, late } = sightNow(stand.sight);
  const coming = next && (late === null || next.beats <= late) ? next : null;
  return {
    instrument: setup.instrument,
    now,
    next: coming?.change ?? null,
    beatsLeft: isOpen ? null : (coming?.beats ?? null),
    span: isOpen || !coming ? null : coming.beats + beatsHeld(view, bar, counting ? 0 : (beat ?? 0), range),
    after: late === null && !isOpen ? after : null,
    hard: coming !== null && isHardChange(view, coming.index, quartersNow(setup)),
    running: session.link.state === 'running',
    unicode: look.unicode,
    sight: look.neck ?? usualNeck,
    names,
    shown: hand,
  };
}

/** The tempo that is set, in quarters a minute: what is hard depends on it. */
function quartersNow({ chart, bpm }: Setup): number {
  return quarterTempo({ ...chart.tempo, bpm });
}
