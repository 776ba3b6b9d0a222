import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseMeter } from '../../src/chart/change.js';
import type { Meter } from '../../src/chart/chart.js';
import {
  dotsInBeat,
  dotWays,
  fillingDots,
  fittedDots,
  mostWithDots,
  sharesEvenly,
} from '../../src/chart/shares.js';

function meter(text: string): Meter {
  const read = parseMeter(text);
  if (!read.ok) throw new Error(text);
  return read.value;
}

describe('how chords share a bar', () => {
  it.each([
    ['4/4', [1, 2, 4, 8, 16]],
    ['3/4', [1, 3, 6, 12]],
    ['2/4', [1, 2, 4, 8, 16]],
    ['2/2', [1, 2, 4, 8, 16]],
    ['3/2', [1, 3, 6, 12]],
    ['5/4', [1, 5, 10]],
    ['6/4', [1, 2, 3, 6, 12]],
    ['3/8', [1, 3, 6, 12]],
    ['6/8', [1, 2, 6, 12]],
    ['9/8', [1, 3, 9]],
    ['12/8', [1, 2, 4, 12]],
    ['7/8', [1, 7, 14]],
  ])('without dots in %s: %o of them', (text, counts) => {
    const all = Array.from({ length: 16 }, (_, index) => index + 1);
    expect(all.filter((count) => sharesEvenly(count, meter(text)))).toStrictEqual(counts);
  });

  it.each([
    ['4/4', 4, 1],
    ['4/4', 8, 1],
    ['2/2', 2, 1],
    ['2/2', 4, 2],
    ['3/2', 6, 2],
    ['6/8', 2, 1],
    ['6/8', 6, 3],
    ['6/8', 4, 1],
    ['9/8', 9, 3],
    ['3/8', 3, 3],
    ['5/8', 5, 1],
  ])('in %s %i dots count %i a felt beat', (text, dots, each) => {
    expect(dotsInBeat(dots, meter(text), false)).toBe(each);
    expect(dotsInBeat(dots, meter(text), true)).toBe(1);
  });

  it('says what fills a bar', () => {
    expect(['4/4', '2/2', '6/8', '5/8'].map((text) => fillingDots(meter(text)))).toStrictEqual([
      '4',
      '2 (felt beats) or 4 (quarters)',
      '2 (felt beats) or 6 (eighths)',
      '5',
    ]);
  });

  it('has for any count ways that fill the bar, or none where there is no room', () => {
    const meters = fc.record({ beats: fc.integer({ min: 1, max: 16 }), unit: fc.constantFrom(2, 4, 8) });
    fc.assert(
      fc.property(meters, fc.integer({ min: 1, max: 16 }), (one, count) => {
        const ways = dotWays(count, one as Meter);
        expect(ways.length > 0).toBe(count <= mostWithDots(one as Meter));
        for (const way of ways) {
          expect(way).toHaveLength(count);
          expect(Math.min(...way)).toBeGreaterThan(0);
          const sum = way.reduce((all, dots) => all + dots, 0);
          expect(fillingDots(one as Meter).match(/\d+/g)).toContain(String(sum));
        }
      }),
    );
  });

  it('fits any dots into a bar that has room for them', () => {
    const meters = fc.record({ beats: fc.integer({ min: 1, max: 16 }), unit: fc.constantFrom(2, 4, 8) });
    fc.assert(
      fc.property(
        meters,
        fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 16 }),
        (one, dots) => {
          const fitted = fittedDots(dots, one as Meter);
          expect(fitted !== null).toBe(dots.length <= mostWithDots(one as Meter));
          if (!fitted) return;
          expect(Math.min(...fitted)).toBeGreaterThan(0);
          const sum = fitted.reduce((all, own) => all + own, 0);
          expect(fillingDots(one as Meter).match(/\d+/g)).toContain(String(sum));
        },
      ),
    );
  });
});
