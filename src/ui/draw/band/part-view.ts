import type { PartName } from '../../../band/parts.js';
import type { PlayedBar } from '../../../chart/chart.js';
import { type PassView, rangeShown } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import { placeAt } from '../../../time/conductor.js';
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
  /** Whether what comes is shown, this far ahead in beats; `null`: all of it. */
  readonly late: number | null;
}

/** Where the music will leave the pass as it is written, such as once more through a section. */
function jumpAhead({ conductor, cursor, jump }: Performance): PassPlace['jump'] {
  const [tick] = jump?.ticks ?? [];
  const left = conductor && tick !== undefined ? placeAt(conductor, tick - 1) : null;
  if (!jump || left?.pass !== cursor.pass || left.counting) return undefined;
  return { after: left.bar, to: jump.pass === cursor.pass ? jump.bar : null };
}

/** Where a performance is within its pass. */
export function passPlace(performance: Performance, view: PassView): PassPlace {
  const { cursor, setup, vamp } = performance;
  const range = rangeShown(performance);
  const jump = jumpAhead(performance);
  return {
    bar: cursor.bar,
    beat: cursor.counting ? 0 : (cursor.beat ?? 0),
    range: range ?? { from: 0, to: view.bars.length },
    goesRound: vamp !== null || range !== null || setup.passes === null || cursor.pass < setup.passes,
    ...(jump ? { jump } : {}),
  };
}
