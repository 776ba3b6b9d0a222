import { type BarNote, notesBeforeAgain, tuneByBars } from '../../chart/tune/tune-by-bars.js';
import { type PassView, passView, rangeShown } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import type { Session } from '../../playback/session.js';
import { barEnd, positionAt } from '../../time/conductor.js';
import { noteTick } from '../../time/note-tick.js';
import { tickAt, timeAt } from '../../time/segment.js';
import type { Model } from './model.js';
import { isOnStand, standView } from './select.js';

/** Where the music is: a played bar, and ticks into it; below zero while that bar is counted in. */
export interface TunePlace {
  readonly bar: number;
  readonly tick: number;
}

/** The tune as the stand shows it. */
export interface TuneSight {
  /** The notes of a played bar; `null` where its section has no tune. */
  readonly notesOf: (bar: number) => readonly BarNote[] | null;
  /** The bar with which what is played begins: the first of the pass, or of the loop; and the pick-up in front of it. */
  readonly from: number;
  readonly ahead: readonly BarNote[];
  /** `null` while nothing moves. */
  readonly now: TunePlace | null;
}

/** Whether the chart on the stand has a tune. */
export function hasTune({ setup: { chart } }: Performance): boolean {
  return (chart.tune ?? []).length > 0;
}

/** The tune of a pass; `null` where the chart has none. */
export function tuneSight(
  { session, at }: Model,
  performance: Performance,
  view: PassView,
): TuneSight | null {
  if (!hasTune(performance)) return null;
  const { setup } = performance;
  const tunes = tuneByBars(setup.chart, view.bars);
  const range = rangeShown(performance) ?? { from: 0, to: view.bars.length };
  const { from } = range;
  // Where the form or a loop goes round, the pick-up comes again at its end.
  const last = setup.passes === null ? range.to - 1 : -1;
  const notesOf = (bar: number): readonly BarNote[] | null =>
    bar === last ? notesBeforeAgain(tunes, view.bars, bar, from) : (tunes.bars[bar] ?? null);
  const ahead = tunes.pickups[from] ?? [];
  return { notesOf, from, ahead, now: tunePlace(session, performance, view, at) };
}

function tunePlace(
  { link: { spans } }: Session,
  { conductor, cursor }: Performance,
  view: PassView,
  at: number,
): TunePlace | null {
  if (!conductor || cursor.beat === null || spans.length === 0) return null;
  const tick = tickAt(spans, at);
  if (cursor.counting) {
    const end = Math.round(barEnd(conductor, tick));
    const behind = positionAt(conductor, end);
    return behind.phase === 'bar' ? { bar: behind.bar, tick: tick - end } : null;
  }
  const { beat, into, bar } = positionAt(conductor, tick);
  const placed = view.score.bars[cursor.bar];
  const start = placed?.beats[cursor.beat];
  if (!placed || start === undefined) return null;
  // What is looked at was worked out at the last look; a tick later it may be elsewhere.
  const share = bar === cursor.bar && beat === cursor.beat ? into : 0;
  return { bar, tick: start + share * ((placed.beats[cursor.beat + 1] ?? placed.length) - start) };
}

/** When the next note of the tune begins or ends while it is shown, ms, counted from what was looked at last; `null` for none in this beat. */
export function nextNoteTime(model: Model, looked: number): number | null {
  const there = standView(model);
  if (!there || !isOnStand(there.mode)) return null;
  const { stand, performance } = there;
  const view = stand.sight.tune && !stand.sight.far ? passView(performance) : null;
  const { link } = model.session;
  if (!view || link.state !== 'running') return null;
  const tune = tuneSight({ ...model, at: looked }, performance, view);
  if (!tune?.now) return null;
  const { bar, tick } = tune.now;
  const played = view.bars[bar];
  const notes = tick < 0 ? tune.ahead : tune.notesOf(bar);
  if (!played || !notes || (tick < 0 && bar !== tune.from)) return null;
  const next = notes
    .flatMap(({ at, parts }) => [noteTick(played, at), noteTick(played, at + parts)])
    .reduce((least, one) => (one > tick + 1e-6 ? Math.min(least, one) : least), Number.POSITIVE_INFINITY);
  return next === Number.POSITIVE_INFINITY
    ? null
    : timeAt(link.spans, tickAt(link.spans, looked) + next - tick);
}
