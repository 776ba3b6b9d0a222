import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Finger, type Frets, parseFrets } from '../../src/hand/fingering.js';
import { fingeringsOf } from '../../src/hand/fingerings.js';
import { fret, fretPlace, type Instrument, instruments, mandolin } from '../../src/hand/instrument.js';
import { hands, type PlayerHand, spanOf, usualHand } from '../../src/hand/player-hand.js';

const texts = (
  written: string,
  instrument: Instrument = mandolin,
  hand: PlayerHand = usualHand,
  orders: 'usual' | 'any' = 'usual',
): string[] =>
  fingeringsOf(parseFrets(written), instrument, hand, orders).map((one) =>
    one.fingers.map((finger) => finger ?? 'x').join(''),
  );

/** The rules once more, each by itself, on a finished assignment. */
function allowed(
  at: Frets,
  fingers: readonly (Finger | null)[],
  instrument: Instrument,
  hand: PlayerHand,
  orders: 'usual' | 'any',
): boolean {
  for (const alike of new Set(at)) {
    const there = fingers.filter((finger, course) => finger !== null && at[course] === alike);
    if (new Set(there).size > 3) return false;
  }
  for (const [one, first] of fingers.entries()) {
    for (const [other, second] of fingers.entries()) {
      if (first === null || second === null || one >= other) continue;
      const [a, b] = [at[one] as number, at[other] as number];
      if (first === second) {
        if (a !== b) return false;
        for (let between = one + 1; between < other; between += 1) if ((at[between] ?? -1) < a) return false;
        continue;
      }
      const [low, high] = first < second ? [a, b] : [b, a];
      if (low > high) return false;
      // At one fret the lower finger usually stands on the bass side.
      if (a === b && first > second && orders === 'usual') return false;
      const span = Math.abs(fretPlace(instrument, fret(a)) - fretPlace(instrument, fret(b)));
      if (span > spanOf(hand, first, second) + 1e-9) return false;
    }
  }
  return fingers.every((finger) => finger === null || !hand.without.includes(finger));
}

describe('fingeringsOf', () => {
  it('are exactly those that keep every rule, of all assignments there are', () => {
    const cases = fc.record({
      at: fc.array(fc.option(fc.integer({ min: 1, max: 9 }), { freq: 5 }), { minLength: 4, maxLength: 4 }),
      instrument: fc.constantFrom(...instruments.filter((one) => one.courses.length === 4)),
      hand: fc.constantFrom(...hands, { ...usualHand, without: [4 as const] }),
      orders: fc.constantFrom('usual' as const, 'any' as const),
    });
    fc.assert(
      fc.property(cases, ({ at, instrument, hand, orders }) => {
        const written: Frets = at.map((one) => (one === null ? null : fret(one)));
        const wanted: string[] = [];
        const choose = (fingers: (Finger | null)[]): void => {
          if (fingers.length === 4) {
            if (allowed(written, fingers, instrument, hand, orders)) wanted.push(fingers.join());
          } else if (written[fingers.length] === null) choose([...fingers, null]);
          else for (const finger of [1, 2, 3, 4] as const) choose([...fingers, finger]);
        };
        choose([]);
        expect(
          fingeringsOf(written, instrument, hand, orders)
            .map((one) => one.fingers.join())
            .sort(),
        ).toEqual(wanted.sort());
      }),
    );
  });

  // Common practice: fingers little-ring-index-middle, ring-index-middle, and little-middle-ring.
  it.each([
    ['7-5-2-3', '4312'],
    ['7-4-5-x', '312x'],
    ['7-4-5-x', '423x'],
    ['7-4-5-2', '4231'],
    ['7-5-1-3', '4312'],
    ['7-3-2-3', '4213'],
    ['5-4-5-x', '213x'],
  ])('of %s hold %s on a mandolin', (written, fingers) => {
    expect(texts(written)).toContain(fingers);
  });

  it('drop on a long neck what nobody reaches there', () => {
    for (const instrument of instruments.filter(
      (one) => one.id === 'octave-mandolin' || one.id === 'mandocello',
    )) {
      expect(texts('7-5-2-3', instrument)).toEqual([]);
    }
  });

  it('lay one finger flat, also under a course that is stopped higher, not over a damped one', () => {
    expect(texts('2-2-4-5')).toContain('1134');
    expect(texts('2-4-2-x')).toContain('131x');
    expect(texts('2-x-2-2')).not.toContain('1x11');
  });

  it('take no four separate tips into one fret, and three', () => {
    expect(texts('2-2-2-2')).not.toContain('1234');
    expect(texts('2-2-2-2')).toContain('1111');
    expect(texts('2-2-2-5')).toContain('1234');
  });

  it('have both orders of two fingers at one fret where any are asked for', () => {
    expect(texts('2-1-3-2')).not.toContain('3142');
    expect(texts('2-1-3-2', mandolin, usualHand, 'any')).toContain('3142');
    // Never the lower finger at the higher fret.
    expect(texts('2-1-x-x', mandolin, usualHand, 'any')).not.toContain('12xx');
  });

  it('do without fingers that the hand does without', () => {
    expect(texts('7-5-2-3', mandolin, { ...usualHand, without: [4] })).toEqual([]);
    expect(texts('7-4-5-x', mandolin, { ...usualHand, without: [4] })).toEqual(['312x']);
  });
});
