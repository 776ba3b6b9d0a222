import type { Chart } from '../chart/chart.js';
import { readChart } from '../chart/read.js';
import { writeChart } from '../chart/write.js';

/** A chart's text that is sure to be read again, or a sentence that says why there is none. */
export type WrittenChart = { readonly text: string } | { readonly reason: string };

/** A chart that was brought in, as text. */
export function writtenChart(chart: Chart): WrittenChart {
  if (chart.sections.length === 0)
    return { reason: 'it has no bar that lasts, so there is nothing to write' };
  return readsBack(writeChart(chart));
}

/** A chart's text, if it reads: nothing is handed out that would be refused when it is opened. */
export function readsBack(text: string): WrittenChart {
  const read = readChart(new TextEncoder().encode(text));
  if (read.ok) return { text };
  const fault = read.faults.find(({ severity }) => severity === 'error');
  return { reason: `no chart can be made of it: ${fault?.message ?? 'what is made of it does not read'}` };
}
