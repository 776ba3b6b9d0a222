import { type ChartView, chartBlock, leastChart } from './chart.js';
import type { Line } from './line.js';
import { wordLines } from './words.js';

/** What can be written, and how. */
const manual = [
  '1 to 7 write the chord that is called for this bar, in its last beat for the next bar; a bar without a call goes on as before.',
  'm minor, v seventh, b flat, # sharp: the last one. s: the next one shares the bar. Backspace deletes it.',
  'Space starts and stops the count, t taps the tempo, w the meter, < > the key. Enter names and keeps the chart.',
];

/** While a chart is written down: what was written, and how to write. */
export function transcribeBody(drawn: ChartView, columns: number, room: number): Line[] {
  const words = manual.flatMap((text) => wordLines(text, columns, 'dim'));
  const chartRoom = Math.max(leastChart, room - words.length - 1);
  return [...chartBlock(drawn, columns, chartRoom), [], ...words];
}
