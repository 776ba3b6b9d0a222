import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Fingering, sameFingering } from '../../src/hand/fingering.js';
import { mandolin } from '../../src/hand/instrument.js';
import { motion } from '../../src/hand/motion.js';
import { usualPrices } from '../../src/hand/prices.js';
import { stockFingerings, stockShapes } from '../../src/hand/stock.js';
import { fingering, moved } from './shapes.js';

const g = fingering('7-5-2-3', '4312');
const c = fingering('5-2-3-x', '312x');
const d = fingering('7-4-5-x', '312x');
const dByLittle = fingering('7-4-5-x', '423x');

const anyStock = fc
  .record({
    root: fc.constantFrom(...'C Db D Eb E F F# G Ab A Bb B'.split(' ')),
    quality: fc.constantFrom(...stockShapes.map((shape) => shape.quality)),
    pick: fc.nat(),
  })
  .map(({ root, quality, pick }) => {
    const found = stockFingerings({ root, quality, bass: null }, mandolin);
    return found[pick % found.length] as Fingering;
  });

// Common practice: how the 4 and the 5 lie beside the 1 of the two families, in every key that has them.
describe('motion within a family', () => {
  it.each([0, 1, 2, 3, 4])('four-finger, %i above G: 1 to 4 is one course to the bass side', (up) => {
    const way = motion(moved(g, up), moved(c, up), mandolin);
    expect(way.shared).toStrictEqual({ frets: 0, courses: -1 });
    expect(way.moves.map((move) => move.finger)).toStrictEqual([1, 2, 3]);
    expect(way.lifts).toStrictEqual([4]);
    expect(way.lands).toStrictEqual([]);
    expect(way.planted).toStrictEqual([]);
  });

  it.each([0, 1, 2, 3, 4])('four-finger, %i above G: 1 to 5 keeps the little finger', (up) => {
    const way = motion(moved(g, up), moved(dByLittle, up), mandolin);
    expect(way.planted).toStrictEqual([4]);
    expect(way.lifts).toStrictEqual([1]);
    expect(way.shared).toBeNull();
  });

  it.each([0, 1, 2, 3, 4])('three-finger, %i above D: 1 to 4 is two frets and one course', (up) => {
    const way = motion(moved(d, up), moved(g, up), mandolin);
    expect(way.shared).toStrictEqual({ frets: -2, courses: 1 });
    expect(way.lands).toStrictEqual([{ finger: 4, course: 0 }]);
    expect(way.lifts).toStrictEqual([]);
  });

  it('three-finger: 1 to 5 is the same frets and one course to the treble side', () => {
    const way = motion(d, fingering('9-7-4-5', '4312'), mandolin);
    expect(way.shared).toStrictEqual({ frets: 0, courses: 1 });
  });
});

describe('motion', () => {
  it('has every finger where it belongs, once', () => {
    fc.assert(
      fc.property(anyStock, anyStock, (from, to) => {
        const { planted, moves, lifts, lands } = motion(from, to, mandolin);
        const stay = [...planted, ...moves.map((move) => move.finger)];
        // A finger that lies across courses is one finger.
        const down = (one: Fingering): number[] =>
          [...new Set(one.fingers.filter((finger) => finger !== null))].sort();
        expect([...stay, ...lifts].sort()).toStrictEqual(down(from));
        expect([...stay, ...lands.map((land) => land.finger)].sort()).toStrictEqual(down(to));
      }),
    );
  });

  it('measures how far a finger goes: along the neck in frets, across it in courses', () => {
    const [index] = motion(c, d, mandolin).moves;
    expect(index).toMatchObject({ finger: 1, frets: 2, courses: 0 });
    // The wires of frets 2 and 4 are 34.255 mm apart; a finger stands 4 mm behind each.
    expect(index?.millimetres).toBeCloseTo(72.705 - 38.45, 2);
    expect(motion(g, c, mandolin).moves[0]?.millimetres).toBeCloseTo(mandolin.spacing, 9);
  });

  it('shares nothing when one finger only moves, or one stays', () => {
    const one = motion(fingering('2-x-x-x', '1xxx'), fingering('4-x-x-x', '1xxx'), mandolin);
    expect(one.moves).toHaveLength(1);
    expect(one.shared).toBeNull();
    expect(motion(g, fingering('7-6-3-4', '4312'), mandolin).shared).toBeNull();
  });
});

describe('the price of a motion', () => {
  // Fitts' law in MacKenzie's refit, from memory: 12.8 + 94.7 · log2(A/W + 1) ms; A 7 mm, W 8 mm,
  // and a lifted finger at 4 ms: 12.8 + 85.88 + 4.
  it('is Fitts’ law for the longest of the fingers that share a move', () => {
    expect(motion(g, c, mandolin).ms).toBe(Math.round(12.8 + 94.7 * Math.log2(7 / 8 + 1) + 4));
  });

  it('is nothing for the same fingering, and whole milliseconds above nothing where a finger moves', () => {
    fc.assert(
      fc.property(anyStock, anyStock, (from, to) => {
        const { ms, moves, lifts, lands } = motion(from, to, mandolin);
        expect(Number.isInteger(ms)).toBe(true);
        if (sameFingering(from, to)) expect(ms).toBe(0);
        if (moves.length + lifts.length + lands.length > 0) expect(ms).toBeGreaterThan(0);
      }),
    );
  });

  it('is the same both ways when a shape is moved along the neck', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(g, d, dByLittle),
        fc.nat({ max: 5 }),
        fc.nat({ max: 5 }),
        (shape, one, other) => {
          const there = motion(moved(shape, one), moved(shape, other), mandolin).ms;
          expect(motion(moved(shape, other), moved(shape, one), mandolin).ms).toBe(there);
        },
      ),
    );
  });

  it('grows with the way', () => {
    const shift = (frets: number): number => motion(g, moved(g, frets), mandolin).ms;
    expect([1, 2, 3, 4, 5].map(shift)).toStrictEqual([1, 2, 3, 4, 5].map(shift).sort((a, b) => a - b));
    expect(shift(5)).toBeGreaterThan(shift(1));
  });

  it('follows a player’s own prices', () => {
    const lifting = { ...usualPrices, intercept: 0, slope: 0, lift: 30 };
    expect(motion(g, c, mandolin, lifting).ms).toBe(30);
  });
});
