import type { Chart } from '../chart/chart.js';
import type { ArrangedPass, ArrangeOptions } from '../time/arrange.js';
import { stopsOf } from '../time/stretch.js';
import { expectedStrokes } from './expected.js';
import { passTime } from './pass-time.js';
import type { PassPlan } from './take.js';

/** A pass as it is looked for in a recording: what is struck in it at the written tempo. */
export function passPlan(chart: Chart, pass: ArrangedPass, options: ArrangeOptions): PassPlan {
  const { bars } = pass.score;
  const last = bars.at(-1);
  const timeOf = passTime(bars, 1);
  const stops = pass.bars.flatMap((bar, index) =>
    stopsOf(bar).map(({ to }) => timeOf((bars[index]?.start ?? 0) + to)),
  );
  return {
    expected: expectedStrokes(chart, pass, { ...options, share: 1, timeOf }),
    length: last ? timeOf(last.start + last.length) : 0,
    stops,
  };
}
