import { type Chart, type Meter, meterText, quartersPerBeat, type Tempo } from './chart.js';
import { readChart } from './read.js';

/** The title of a click without a song. */
export const clickTitle = 'Click';

/** The note that the tempo of a click counts: the felt beat, if a chart can count it. */
function countOf(meter: Meter): Tempo['count'] {
  const quarters = quartersPerBeat(meter);
  return quarters === 2 ? 'half' : quarters === 1.5 ? 'dotted' : 'quarter';
}

/** A click without a song, as a chart: one bar without a chord, repeated. `bpm`: felt beats a minute. */
export function clickChart(meter: Meter, bpm: number): Chart {
  const text = `title: ${clickTitle}\nkey: C\ntempo: ${countOf(meter)}=${bpm}\nmeter: ${meterText(meter)}\nform: bar\nsections:\n  bar: |\n    nc\n`;
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new RangeError(`no click in ${meterText(meter)} at ${bpm}`);
  return read.value;
}

/** The meters that a click goes through, in their order. */
export const meters: readonly Meter[] = [
  { beats: 4, unit: 4 },
  { beats: 3, unit: 4 },
  { beats: 2, unit: 4 },
  { beats: 2, unit: 2 },
  { beats: 6, unit: 8 },
  { beats: 9, unit: 8 },
  { beats: 12, unit: 8 },
  { beats: 5, unit: 4 },
  { beats: 7, unit: 4 },
];

/** The next meter; the first one if the given meter is not in the list. */
export function nextMeter({ beats, unit }: Meter): Meter {
  const at = meters.findIndex((one) => one.beats === beats && one.unit === unit);
  return meters[(at + 1) % meters.length] as Meter;
}
