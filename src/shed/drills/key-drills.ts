import type { Chart } from '../../chart/chart.js';
import type { Drill, KeyDrillKind } from '../drill.js';
import { chopDrill } from './chop.js';
import { liftDrill } from './lift.js';
import { type DrillHand, sixWaysDrill } from './six-ways.js';
import { steadyDrill } from './steady.js';

/** A drill that is made for the key of a chart; of the chart it takes key, meter and tempo. `null` where its meter has no place for it. */
export function keyDrill(base: Chart, kind: KeyDrillKind, hand: DrillHand): Drill | null {
  switch (kind) {
    case 'six-ways':
      return sixWaysDrill(base, hand);
    case 'lift':
      return liftDrill(base);
    case 'steady':
      return steadyDrill(base);
    default:
      return chopDrill(base, kind);
  }
}
