import { describe, expect, it } from 'vitest';
import { effortOf, effortParts } from '../../src/hand/effort.js';
import { parseFrets } from '../../src/hand/fingering.js';
import { type Instrument, mandolin } from '../../src/hand/instrument.js';

const a = { root: 'A', quality: 'major', bass: null } as const;
const single: Instrument = {
  ...mandolin,
  courses: mandolin.courses.map((course) => ({ ...course, strings: 1 })),
};
const flat = { frets: parseFrets('2-2-4-5'), fingers: [1, 1, 3, 4] as const, shape: null, remark: '' };
const round = { ...flat, fingers: [1, 2, 3, 4] as const };

describe('effortParts', () => {
  it.each([
    ['double courses, chopped', mandolin, 'chop', 45],
    ['double courses that ring', mandolin, 'ring', 20],
    ['single courses, chopped', single, 'chop', 6],
    ['single courses that ring', single, 'ring', 0],
  ] as const)('a flat finger on %s costs %i', (_, instrument, stroke, ms) => {
    const part = (fingering: typeof flat | typeof round) =>
      effortParts(fingering, a, instrument, [], stroke).find(({ name }) => name === 'flat finger')?.ms ?? 0;
    expect([part(flat), part(round)]).toEqual([ms, 0]);
  });

  it('names its parts, in whole milliseconds that add up', () => {
    const parts = effortParts(
      { frets: parseFrets('x-9-6-7'), fingers: [null, 4, 1, 2], shape: null, remark: '' },
      { ...a, root: 'B' },
      mandolin,
      [7, 4],
    );
    expect(parts.map(({ name }) => name)).toEqual([
      'courses not sounding',
      'high on the neck',
      'tones left out',
    ]);
    expect(effortOf(parts)).toBe(parts.reduce((sum, { ms }) => sum + ms, 0));
    expect(parts.every(({ ms }) => Number.isInteger(ms))).toBe(true);
  });
});
