import { type Drill, type DrillKind, drillKinds } from '../drill.js';
import type { DictationKind } from './figures.js';
import { titleOf } from './phrase-chart.js';
import { beginDictation, type DictationStart } from './round.js';

const kinds = { changes: 'ear-changes', bass: 'ear-bass', tune: 'ear-tune' } as const satisfies Readonly<
  Record<DictationKind, DrillKind>
>;

/**
 * A drill in which changes are named by ear. The cadence has bass and chop; of the phrase after it only that sounds which is asked
 * about. Where the changes of a chart are asked its tune is played over them.
 */
export function dictationDrill(start: DictationStart): Drill {
  const { asks } = start;
  const kind = kinds[asks];
  const { chart } = beginDictation(start).round;
  return {
    kind,
    title: titleOf(asks),
    says: drillKinds[kind],
    chart,
    start: {
      share: 1,
      ladder: false,
      exact: true,
      passes: 1,
      voices: { click: true, bass: true, chop: true, low: false, lead: asks !== 'bass' },
    },
    from: chart.title,
    dictation: start,
  };
}
