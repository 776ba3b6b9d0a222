import { good, misread, type Outcome } from '../base/outcome.js';
import type { Chart } from '../chart/chart.js';
import { readChart } from '../chart/read.js';
import { writeChart } from '../chart/write.js';

/** A chart that was imported as text that is sure to be read again, or a sentence that says why there is none. */
export function writtenChart(chart: Chart): Outcome<string> {
  if (chart.sections.length === 0)
    return misread('it has no bar with any length, so there is nothing to write');
  return readsBack(writeChart(chart));
}

/** A chart's text, if it can be read: nothing is exported that would be refused when it is opened. */
export function readsBack(text: string): Outcome<string> {
  const read = readChart(new TextEncoder().encode(text));
  if (read.ok) return good(text);
  const fault = read.faults.find(({ severity }) => severity === 'error');
  return misread(`no chart can be made of it: ${fault?.message ?? 'the result cannot be read'}`);
}
