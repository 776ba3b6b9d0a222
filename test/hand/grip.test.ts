import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { effortOf } from '../../src/hand/effort.js';
import type { Finger, Frets } from '../../src/hand/fingering.js';
import { parseFrets } from '../../src/hand/fingering.js';
import { fingeringsOf } from '../../src/hand/fingerings.js';
import { gripMs, gripPartsOf, gripPrices } from '../../src/hand/grip.js';
import { type GripFeature, gripFeatures, noMeasures } from '../../src/hand/grip-features.js';
import { fret, type Instrument, instruments, mandolin } from '../../src/hand/instrument.js';
import { measureGrip } from '../../src/hand/measure-grip.js';
import { smallHand, usualHand } from '../../src/hand/player-hand.js';
import { stockShapes } from '../../src/hand/stock.js';
import { fingering } from './shapes.js';

interface Board {
  readonly chord: string;
  readonly written: string;
  readonly fingers: readonly string[];
  readonly instrument: Instrument;
}
interface Measured extends Board {
  readonly found: readonly unknown[];
}
// The fit is plain JavaScript, without types.
const { practice, published, ukulelePractice } = (await import('./fit/boards.mjs' as string)) as {
  practice: readonly Board[];
  published: readonly Board[];
  ukulelePractice: readonly Board[];
};
const { learn, leftOut, measured } = (await import('./fit/fit.mjs' as string)) as {
  learn: (boards: readonly Measured[]) => readonly number[];
  leftOut: (
    boards: readonly Measured[],
    how?: { doubt?: number; whole?: boolean },
  ) => readonly { readonly right: boolean }[];
  measured: (board: Board) => Measured;
};

const ukulele = instruments.find(({ id }) => id === 'ukulele') as Instrument;
const single: Instrument = {
  ...mandolin,
  courses: mandolin.courses.map((course) => ({ ...course, strings: 1 })),
};
const text = (fingers: readonly (Finger | null)[]): string => fingers.map((finger) => finger ?? 'x').join('');

/** Every way to finger a board, the cheapest first. */
function ranked(written: string, on: Instrument = mandolin): string[] {
  const frets = parseFrets(written);
  return fingeringsOf(frets, on, usualHand, 'any')
    .map(({ fingers }) => ({ fingers: text(fingers), ms: gripMs(frets, fingers, on) }))
    .sort((one, other) => one.ms - other.ms)
    .map(({ fingers }) => fingers);
}

/** What fingers cost, ms. */
const ms = (written: string, fingers: string, on: Instrument = mandolin): number => {
  const one = fingering(written, fingers);
  return gripMs(one.frets, one.fingers, on);
};

/** Measures by their names. */
const named = (measures: Float64Array) =>
  Object.fromEntries(gripFeatures.map((name, at) => [name, measures[at]])) as Record<GripFeature, number>;

describe('the grip that costs least', () => {
  // Boards and fingers: GNU LilyPond 2.24.1, predefined-mandolin-fretboards.ly, its closed majors, minors and sevenths.
  it.each(published)('of $chord $written is the published one, $fingers', ({ written, fingers }) => {
    expect(ranked(written)[0]).toBe(fingers[0]);
  });

  it('is found with as many boards as were published', () => {
    expect(published).toHaveLength(19);
  });

  // Common practice, no source.
  it.each(practice)('of $chord $written is what players hold, $fingers', ({ written, fingers }) => {
    expect(fingers).toContain(ranked(written)[0]);
  });

  // From memory, common practice; no price was learned from it.
  it.each(ukulelePractice)('of $chord $written on a ukulele is what players hold', ({ written, fingers }) => {
    expect(fingers).toContain(ranked(written, ukulele)[0]);
  });

  it.each(stockShapes.filter(({ source }) => source === 'practice' || source === 'memory'))(
    'of the stock shape $frets for $root $quality is one of the trade’s',
    ({ frets, fingers }) => {
      expect(fingers).toContain(ranked(frets)[0]);
    },
  );
});

describe('the prices of a grip', () => {
  it('are those that the boards teach, rounded', () => {
    const learned = learn([...published, ...practice].map(measured));
    for (const [at, name] of gripFeatures.entries()) {
      const exact = learned[at] as number;
      expect(Math.abs(gripPrices[name] - exact), name).toBeLessThanOrEqual(Math.max(0.025 * exact, 1e-9));
    }
  });

  it('are none below zero', () => {
    for (const name of gripFeatures) expect(gripPrices[name]).toBeGreaterThan(0);
  });

  it.each([
    ['each published board from the others', {}],
    ['each published board from the others, with expectations that hardly count', { doubt: 10 }],
    ['the boards of each quality from those of the other two', { whole: true }],
  ])('foretell %s', (_, how) => {
    expect(leftOut(published.map(measured), how).filter(({ right }) => right)).toHaveLength(19);
  });
});

describe('what is measured', () => {
  const measures = (written: string, fingers: string, on: Instrument = mandolin) => {
    const one = fingering(written, fingers);
    return named(measureGrip(one.frets, one.fingers, on, usualHand, noMeasures()));
  };

  it('two tips at one fret crowd each other more as the fret narrows, and a third more than they', () => {
    for (let up = 1; up < 15; up += 1) {
      const two = (at: number) => measures(`${at}-${at}-x-x`, '12xx').crowded;
      expect(two(up + 1)).toBeGreaterThan(two(up));
    }
    expect(measures('3-3-3-x', '123x').crowdedThird).toBeGreaterThan(0);
    expect(measures('3-3-x-3', '12x3').crowdedThird).toBe(0);
  });

  it('tips on courses wider than a tip do not crowd each other', () => {
    const wide: Instrument = { ...mandolin, spacing: 13 };
    expect(measures('9-9-x-x', '12xx', wide).crowded).toBe(0);
    expect(measures('9-9-x-x', '12xx').crowded).toBeGreaterThan(0);
  });

  it('a flat finger lies by mm, and half as heavily on single strings', () => {
    expect(measures('2-2-4-5', '1134').flatLength).toBe(7);
    expect(measures('2-4-4-2', '1341').flatLength).toBe(21);
    expect(measures('2-2-4-5', '1134', single).flatLength).toBe(3.5);
  });

  it('a flat finger must leave free what sounds lower on its treble side, the nearer the harder', () => {
    expect(measures('3-4-4-2', '2331').flatOverLower).toBe(1);
    expect(measures('2-2-4-0', '113x').flatOverLower).toBe(0.5);
    expect(measures('2-2-4-5', '1134').flatOverLower).toBe(0);
    expect(measures('0-2-2-3', 'x112').flatOverLower).toBe(0);
  });

  it('an idle index counts only where a hand has one and two fingers stand', () => {
    expect(measures('7-4-5-x', '423x').idleIndex).toBe(1);
    expect(measures('7-4-5-x', '312x').idleIndex).toBe(0);
    const one = fingering('7-4-5-x', '423x');
    const without = { ...usualHand, without: [1 as const] };
    expect(named(measureGrip(one.frets, one.fingers, mandolin, without, noMeasures())).idleIndex).toBe(0);
  });
});

describe('a grip', () => {
  it('that lies flat goes by finger: index, ring, little, middle', () => {
    const flat = (finger: string) => {
      const one = fingering('5-5-x-x', `${finger}${finger}xx`);
      const of = named(measureGrip(one.frets, one.fingers, mandolin, usualHand, noMeasures()));
      return of.flatLength * gripPrices.flatLength + of.flatFinger * gripPrices.flatFinger;
    };
    const [index, middle, ring, little] = ['1', '2', '3', '4'].map(flat) as [number, number, number, number];
    expect(index).toBeLessThan(ring);
    expect(ring).toBeLessThan(little);
    expect(little).toBeLessThan(middle);
  });

  it('of a chop costs little, near the end of the reach much, for a small hand more', () => {
    expect(ms('7-4-5-x', '312x')).toBeLessThan(10);
    expect(ms('7-5-2-3', '4312')).toBeLessThan(30);
    expect(ms('7-5-1-3', '4312')).toBeGreaterThan(ms('7-5-2-3', '4312') + 15);
    const d = fingering('7-4-5-x', '312x');
    expect(gripMs(d.frets, d.fingers, mandolin, smallHand)).toBeGreaterThan(ms('7-4-5-x', '312x'));
  });

  it('costs nothing where no finger stands, and never less than nothing', () => {
    expect(ms('0-0-0-0', 'xxxx', ukulele)).toBe(0);
    const cases = fc.record({
      at: fc.array(fc.option(fc.integer({ min: 0, max: 12 }), { freq: 6 }), { minLength: 4, maxLength: 4 }),
      on: fc.constantFrom(...instruments),
    });
    fc.assert(
      fc.property(cases, ({ at, on }) => {
        const frets: Frets = at.map((one) => (one === null ? null : fret(one)));
        for (const { fingers } of fingeringsOf(frets, on, usualHand, 'any')) {
          const whole = gripMs(frets, fingers, on);
          expect(whole).toBeGreaterThanOrEqual(0);
          const parts = gripPartsOf(frets, fingers, on);
          expect(effortOf(parts)).toBe(Math.round(whole));
          expect(parts.every((part) => part.ms >= 0 && Number.isInteger(part.ms))).toBe(true);
        }
      }),
    );
  });
});
