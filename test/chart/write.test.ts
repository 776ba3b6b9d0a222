import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isSafe } from '../../src/base/safe-text.js';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { writeChart } from '../../src/chart/write.js';
import { generatedChart } from './generated.js';

function read(text: string): Chart {
  const reading = readChart(new TextEncoder().encode(text));
  if (!reading.ok)
    throw new Error(
      `${reading.faults.map((one) => `${one.line}:${one.column} ${one.message}`).join('\n')}\n${text}`,
    );
  return reading.value;
}

/** A chart without its places, which writing may change; remarks may be put together before another name. */
function content({ remarks: _, ...chart }: Chart): unknown {
  return JSON.parse(JSON.stringify(chart, (name, value) => (name === 'place' ? undefined : value)));
}

function remarks(chart: Chart): string[] {
  return Object.values(chart.remarks).flat().sort();
}

describe('writeChart', () => {
  const folder = new URL('../../charts/', import.meta.url);
  it.each(readdirSync(folder).filter((name) => name.endsWith('.yaml') && !name.includes('gathering')))(
    '%s reads back the same',
    (name) => {
      const chart = read(readFileSync(new URL(name, folder), 'utf8'));
      expect(content(read(writeChart(chart)))).toEqual(content(chart));
    },
  );

  it('keeps comments, of the head and of the bars, and writes one form of everything', () => {
    const text = `# first
title:    "Rowan Ferry"   # behind
key: Bb
sections:
  # before V
  V:   |
    1   4   ;  soft
    (5  1)
  tag: last  2  of V
# end
`;
    expect(writeChart(read(text))).toBe(`# first
# behind
title: Rowan Ferry
key: Bb
tempo: 120
meter: 4/4
sections:
  # before V
  V: |
    1 4 ; soft
    (5 1)
  tag: last 2 of V
# end
`);
  });

  it('escapes what could steer a terminal, so that it reads back the same', () => {
    const hostile = 'a\u001b]52;c;x\u0007\u009b2J\u202eb\u200d';
    const chart = read(`title: ${JSON.stringify(hostile)}
by: "one line\\nand ${JSON.stringify(hostile).slice(1)}
key: A
pattern: ${JSON.stringify(hostile)}
singers:
  ${JSON.stringify(hostile)}: C
  "yes: no": D
notes: ${JSON.stringify(`${hostile}\n${hostile}`)}
form: "V (a\\u202eb)"
sections:
  V: |
    1
`);
    const written = writeChart(chart);
    expect(written.split('\n').every(isSafe)).toBe(true);
    expect(written).toContain('title: "a\\u001b]52;c;x\\u0007\\u009b2J\\u202eb\\u200d"\n');
    expect(chart).toMatchObject({ title: hostile, notes: `${hostile}\n${hostile}` });
    expect(content(read(written))).toEqual(content(chart));
    expect(writeChart(read(written))).toBe(written);
  });

  it('reading what was written gives the same chart, whatever it holds, and writing again the same text', () => {
    fc.assert(
      fc.property(generatedChart, (text) => {
        const chart = read(text);
        const written = writeChart(chart);
        const again = read(written);
        expect(content(again)).toEqual(content(chart));
        expect(remarks(again)).toEqual(remarks(chart));
        expect(writeChart(again)).toBe(written);
      }),
      { numRuns: 400 },
    );
  });
});
