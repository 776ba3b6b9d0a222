import { readChart } from '../../../src/chart/read.js';
import { unroll } from '../../../src/chart/unroll.js';
import type { ChartView } from '../../../src/ui/draw/chart.js';

/** What the chart of a text that must read is drawn from, at its first bar. `final`: the last pass. */
export function chartViewOf(text: string, changes: Partial<ChartView> = {}, final = false): ChartView {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  const { bars } = unroll(read.value, { final });
  return {
    chart: read.value,
    bars,
    bar: 0,
    beat: null,
    unicode: true,
    endless: true,
    range: { from: 0, to: bars.length },
    layout: 'fours',
    names: 'both',
    ahead: true,
    words: true,
    tune: null,
    marksIn: null,
    isHard: () => false,
    isCalled: () => true,
    ...changes,
  };
}
