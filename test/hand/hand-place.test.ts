import { describe, expect, it } from 'vitest';
import type { Fingering } from '../../src/hand/fingering.js';
import { handPlace, handShift } from '../../src/hand/hand-place.js';
import { type Instrument, instruments, mandolin } from '../../src/hand/instrument.js';
import { fingering, moved } from './shapes.js';

const g = fingering('7-5-2-3', '4312');
const c = fingering('5-2-3-x', '312x');
const d = fingering('7-4-5-x', '312x');
const dByLittle = fingering('7-4-5-x', '423x');
const on = (id: string): Instrument => instruments.find((one) => one.id === id) as Instrument;

describe('handShift', () => {
  // First position: index on 2, middle on 3 or 4, ring on 5, little on 7 (common practice).
  it.each<[string, Fingering, Fingering, number]>([
    ['1 to 4', g, c, 0],
    ['1 to 5', g, dByLittle, 0],
    ['4 to 5 by other fingers', c, dByLittle, 0],
    ['4 to 5 by the same fingers', c, d, 2],
    ['5 to 4 by the same fingers', d, c, -2],
    ['up a half step', g, moved(g, 1), 1],
    ['to a barred minor', g, fingering('7-5-5-6', '3112'), 3],
  ])('%s', (_, from, to, frets) => {
    expect(handShift(from, to, mandolin)).toBe(frets);
    for (const up of [1, 2, 3]) expect(handShift(moved(from, up), moved(to, up), mandolin)).toBe(frets);
  });

  it('knows that a hand on a long neck has about a finger a fret', () => {
    const chromatic = fingering('2-3-4-5', '1234');
    expect(handPlace(chromatic, on('mandocello'))).toBeCloseTo(2, 0);
    expect(handPlace(fingering('2-x-5-7', '1x34'), mandolin)).toBeCloseTo(2, 0);
  });

  it('is none where no finger is down', () => {
    expect(handPlace(fingering('0-0-0-0', 'xxxx'), mandolin)).toBeNull();
    expect(handShift(g, fingering('0-0-0-0', 'xxxx'), mandolin)).toBe(0);
  });
});
