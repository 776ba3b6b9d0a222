import type { PlayedBar } from '../../chart/chart.js';
import { numberText } from '../../theory/number.js';
import { isSameChord } from './answer-key.js';

/** The felt beats of a pass before a bar. */
export function beatsBefore(bars: readonly PlayedBar[], bar: number): number {
  return bars.slice(0, bar).reduce((sum, { beats }) => sum + beats, 0);
}

/** A change that is asked for. Places are felt beats from the beginning of the chart. */
export interface Question {
  /** The bar of the pass, from 0. */
  readonly bar: number;
  readonly at: number;
  /** Until when an answer is in time, but for the grace (`graceMs`). */
  readonly until: number;
  readonly from: string;
  readonly to: string;
}

/**
 * The changes of a pass from a bar on: each chord that is another than the one before. An answer is in time until the next change;
 * where a bar is shared, until the first change after that bar.
 */
export function questionsOf(bars: readonly PlayedBar[], first: number): readonly Question[] {
  const found: Omit<Question, 'until'>[] = [];
  let held: string | null = null;
  let start = 0;
  bars.forEach((bar, index) => {
    for (const { number, at } of bar.cells) {
      if (!number) continue;
      const to = numberText(number);
      if (index >= first && held !== null && !isSameChord(held, to))
        found.push({ bar: index, at: start + at, from: held, to });
      held = to;
    }
    start += bar.beats;
  });
  return found.map((one, index) => ({
    ...one,
    until: found.slice(index + 1).find(({ bar }) => bar > one.bar)?.at ?? start,
  }));
}
