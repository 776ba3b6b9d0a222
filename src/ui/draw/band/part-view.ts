import type { PartName } from '../../../band/parts.js';
import type { PlayedBar } from '../../../chart/chart.js';
import { type PassView, rangeShown } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import type { ChordNames } from '../../state/sight.js';
import type { PassPlace } from './chords-ahead.js';

/** What the own part of a band is drawn from. */
export interface PartView {
  readonly part: PartName;
  /** The fret of the own capo; `null`: the lowest that gives open shapes. */
  readonly capo: number | null;
  readonly performance: Performance;
  readonly bars: readonly PlayedBar[];
  readonly place: PassPlace;
  readonly unicode: boolean;
  readonly names: ChordNames;
  /** Whether what comes is shown, so far ahead in beats; `null`: all of it. */
  readonly late: number | null;
}

/** Where a performance is within its pass. */
export function passPlace(performance: Performance, view: PassView): PassPlace {
  const { cursor, setup, vamp } = performance;
  const range = rangeShown(performance);
  return {
    bar: cursor.bar,
    beat: cursor.counting ? 0 : (cursor.beat ?? 0),
    range: range ?? { from: 0, to: view.bars.length },
    goesRound: vamp !== null || range !== null || setup.passes === null || cursor.pass < setup.passes,
  };
}
