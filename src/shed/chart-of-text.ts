import type { Chart } from '../chart/chart.js';
import { readChart } from '../chart/read.js';

/** A chart's text as a chart; `null` when it does not read. */
export function chartOfText(text: string): Chart | null {
  const read = readChart(new TextEncoder().encode(text));
  return read.ok ? read.value : null;
}
