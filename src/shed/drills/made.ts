import type { Chart } from '../../chart/chart.js';
import { type Drill, type DrillKind, drillKinds, plainStart } from '../drill.js';

/** Bars on a line of a drill. */
export const perLine = 4;

/** A drill of a kind, made from `base`; it starts as drills do, except for `start`. */
export function madeDrill(
  kind: DrillKind,
  base: Pick<Chart, 'title'>,
  title: string,
  chart: Chart,
  start: Partial<Drill['start']> = {},
): Drill {
  return { kind, title, says: drillKinds[kind], chart, start: { ...plainStart, ...start }, from: base.title };
}
