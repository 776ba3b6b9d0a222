import type { Chart } from '../../chart/chart.js';
import type { SetupStart } from '../../playback/setup.js';
import type { Sight } from './sight.js';

/** How a chart starts on the stand. */
export interface StandStart extends SetupStart {
  readonly sight?: Sight;
}

/** How any chart starts: key and tempo are its own. */
export type OwnStart = Omit<StandStart, 'key' | 'bpm'>;

/** A chart that comes from a leader starts as this player plays any chart, in its own key and tempo, from its first bar. */
export function startAs(start: OwnStart, chart: Chart): StandStart {
  const { bass: _, ...rest } = start;
  return {
    ...rest,
    key: chart.key,
    bpm: chart.tempo.bpm,
    passes: null,
    range: null,
    from: 0,
    pattern: null,
    ramp: null,
    picks: [],
  };
}
