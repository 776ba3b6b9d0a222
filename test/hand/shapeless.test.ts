import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { mandolin } from '../../src/hand/instrument.js';
import { shapelessChords } from '../../src/hand/shapeless.js';

describe('shapelessChords', () => {
  // A neck on which nobody reaches a second fret: only fifths upon fifths are left, and no chord has those alone.
  const endless = { ...mandolin, name: 'endless neck', scale: 30_000 };

  it('finds nothing to warn of on a mandolin', () => {
    const reading = readChart(
      new TextEncoder().encode('title: T\nkey: A\nsections:\n  V: 1 4 7o 5+ 1^7sus4 2-^7b5\n'),
    );
    if (!reading.ok) throw new Error('does not read');
    expect(shapelessChords(reading.value, unroll(reading.value).bars, mandolin)).toEqual([]);
  });

  it('names each chord without a shape once, where it first stands', () => {
    const reading = readChart(
      new TextEncoder().encode('title: T\nkey: A\nsections:\n  V: |\n    1 4\n    (5 7o) 1\n    7o 1\n'),
    );
    if (!reading.ok) throw new Error('does not read');
    const faults = shapelessChords(reading.value, unroll(reading.value).bars, endless);
    expect(faults.map(({ line, column, message }) => `${line}:${column} ${message}`)).toEqual([
      '5:5 no closed shape is known for A on the endless neck',
      '5:7 no closed shape is known for D on the endless neck',
      '6:5 no closed shape is known for E on the endless neck',
      '6:5 no closed shape is known for G#dim on the endless neck',
    ]);
  });
});
