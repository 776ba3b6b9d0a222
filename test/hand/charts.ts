import type { Chart, PlayedBar } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import type { ChordChange } from '../../src/hand/changes.js';
import { toChord } from '../../src/theory/chord.js';
import { key, number } from '../theory/reading.js';

/** Head entries of a chart beside the title. */
type Head = Readonly<Record<string, string | number>>;

/** A chart of one section that must read; in G, in four, at 120 unless the head says otherwise. */
export function chart(bars: string, head: Head = {}): Chart {
  const lines = Object.entries({ title: 'Reed Gate', key: 'G', tempo: 120, meter: '4/4', ...head });
  const text = [...lines.map(([name, value]) => `${name}: ${value}`), 'sections:', '  V: |', `    ${bars}`];
  const read = readChart(new TextEncoder().encode(text.join('\n')));
  if (!read.ok) throw new Error(read.faults.map((fault) => fault.message).join('; '));
  return read.value;
}

/** The bars of one pass of such a chart. */
export function bars(written: string, head: Head = {}): readonly PlayedBar[] {
  return unroll(chart(written, head)).bars;
}

/** One chord a bar, as numbers of a key. */
export function changes(numbers: string, tonic: string): readonly ChordChange[] {
  return numbers.split(' ').map((text, bar) => {
    const one = number(text);
    return { bar, beat: 0, section: '0', number: one, chord: toChord(one, key(tonic)), key: key(tonic) };
  });
}
