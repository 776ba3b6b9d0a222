import type { Chart } from '../chart/chart.js';
import { readChart } from '../chart/read.js';
import { writeChart } from '../chart/write.js';

/** A song as it is shared: the chart as the text of a chart file, and an id that its text decides. */
export interface SharedSong {
  readonly id: string;
  readonly source: string;
  readonly chart: Chart;
}

/** The song that a leader plays. What a set or the pencil has changed in its chart is in its text. */
export function songFromChart(chart: Chart): SharedSong {
  const source = writeChart(chart);
  return { id: idOf(source), source, chart };
}

/** The song that a leader has sent; `null` where its text does not read without fault, or is not the one that its id says. */
export function songFromSource(id: string, source: string): SharedSong | null {
  if (idOf(source) !== id) return null;
  const read = readChart(new TextEncoder().encode(source));
  return read.ok ? { id, source, chart: read.value } : null;
}

/** An id to tell texts apart by, of 53 bits: two sums over their characters, mixed (after MurmurHash3's finaliser). */
export function idOf(text: string): string {
  let [one, other] = [0xdeadbeef, 0x41c6ce57];
  for (let at = 0; at < text.length; at += 1) {
    const code = text.charCodeAt(at);
    one = Math.imul(one ^ code, 2654435761);
    other = Math.imul(other ^ code, 1597334677);
  }
  one = Math.imul(one ^ (one >>> 16), 2246822507) ^ Math.imul(other ^ (other >>> 13), 3266489909);
  other = Math.imul(other ^ (other >>> 16), 2246822507) ^ Math.imul(one ^ (one >>> 13), 3266489909);
  return (4294967296 * (2097151 & other) + (one >>> 0)).toString(36);
}
