import { passViewAt } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import { arrangeOptions } from '../../playback/setup.js';
import type { ArrangedPass } from '../../time/arrange.js';
import { stretches } from '../../time/conductor.js';
import { type Span, timeAt } from '../../time/segment.js';
import { type ExpectedStroke, expectedStrokes } from '../expected.js';

/** A stroke of the music that is played: in which pass, which of the pass's strokes, and when, ms of the shared clock (in `at`). */
export interface PlayedStroke extends ExpectedStroke {
  readonly pass: number;
  /** Its index among all strokes of the pass. */
  readonly index: number;
  /** Its transport tick. */
  readonly placed: number;
}

/** Ticks that sums of parts of bars may be off by. */
const fuzz = 1e-3;

/** What each pass that was arranged has, and which of it is in each bar: made once. */
const known = new WeakMap<ArrangedPass, readonly ExpectedStroke[]>();
const inBars = new WeakMap<readonly ExpectedStroke[], readonly (readonly number[])[]>();

/** All strokes of a pass of the performance, each at its tick (`at` is the tick, too). Empty before it is arranged. */
export function passStrokes(performance: Performance, pass: number): readonly ExpectedStroke[] {
  const view = passViewAt(performance, pass);
  if (!view) return [];
  const before = known.get(view);
  if (before) return before;
  const { setup } = performance;
  const made = expectedStrokes(setup.chart, view, { ...arrangeOptions(setup), timeOf: (tick) => tick });
  known.set(view, made);
  return made;
}

/**
 * The strokes that the player's hand has from a transport tick up to another, in the order of their times: as it is played, with loops,
 * jumps and what is played again. None while a chord is held that is repeated until it is let go: nobody knows what is played over it.
 */
export function playedStrokes(
  performance: Performance,
  spans: readonly Span[],
  from: number,
  to: number,
): PlayedStroke[] {
  const { conductor, vamp } = performance;
  if (!conductor || vamp || spans.length === 0) return [];
  const found: PlayedStroke[] = [];
  for (const stretch of stretches(conductor, from, to)) {
    if (stretch.phase !== 'bar') continue;
    const barStart = passViewAt(performance, stretch.pass)?.score.bars[stretch.bar]?.start ?? 0;
    const strokes = passStrokes(performance, stretch.pass);
    for (const index of barsOf(strokes)[stretch.bar] ?? []) {
      const stroke = strokes[index] as ExpectedStroke;
      const placed = stretch.start + stroke.tick - barStart;
      // A chord that comes early is before its bar.
      const isEarly = placed < stretch.start && stretch.from - stretch.start < fuzz;
      if (placed >= stretch.to - fuzz || (placed < stretch.from - fuzz && !isEarly)) continue;
      found.push({ ...stroke, pass: stretch.pass, index, placed, at: timeAt(spans, placed) });
    }
  }
  return found.sort((one, other) => one.placed - other.placed);
}

/** For each bar the indices of its strokes: a long song is not looked through at every beat. */
function barsOf(strokes: readonly ExpectedStroke[]): readonly (readonly number[])[] {
  const before = inBars.get(strokes);
  if (before) return before;
  const made: number[][] = [];
  strokes.forEach(({ bar }, index) => {
    const here = made[bar] ?? [];
    here.push(index);
    made[bar] = here;
  });
  inBars.set(strokes, made);
  return made;
}
