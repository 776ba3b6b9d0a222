import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { mandolin } from '../../src/hand/instrument.js';
import { shapelessChords } from '../../src/hand/shapeless.js';

describe('shapelessChords', () => {
  it('names each chord without a shape once, where it first stands', () => {
    const reading = readChart(
      new TextEncoder().encode('title: T\nkey: A\nsections:\n  V: |\n    1 4\n    (5 7o) 1\n    7o 1\n'),
    );
    if (!reading.ok) throw new Error('does not read');
    const faults = shapelessChords(reading.value, unroll(reading.value).bars, mandolin);
    expect(faults).toEqual([
      {
        line: 6,
        column: 5,
        severity: 'warning',
        message: 'no closed shape is known for G#dim on the mandolin',
      },
    ]);
  });
});
