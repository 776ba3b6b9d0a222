import { readChart } from '../../chart/read.js';
import { mandolin } from '../../hand/instrument.js';
import { arrange } from '../../time/arrange.js';
import { usualClick } from '../../time/click.js';
import { begin } from '../../time/conductor.js';
import { type Segment, type Span, timeAt } from '../../time/segment.js';
import { ticksPerQuarter } from '../../time/units.js';

/** Clicks without end, all alike, at `bpm`. */
export function clickSegments(bpm: number): readonly Segment[] {
  const text = `title: T\nkey: C\ntempo: ${bpm}\nsections:\n  V: |\n    nc\n`;
  const reading = readChart(new TextEncoder().encode(text));
  if (!reading.ok) throw new Error('the click chart cannot be read');
  const { score } = arrange(reading.value, { key: reading.value.key, instrument: mandolin, share: 1 });
  const click = { ...usualClick, accents: false };
  return begin({ score, passes: null, share: 1, countIn: 0, click }, 0, 0).segments;
}

/** When clicks are due, ms of the shared clock: `count` of them from the one numbered `from` on. */
export function clicksDue(spans: readonly Span[], from: number, count: number): number[] {
  return Array.from({ length: count }, (_, index) => timeAt(spans, (from + index) * ticksPerQuarter));
}
