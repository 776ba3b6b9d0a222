import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Fingering, fingersText, fretsText } from '../../src/hand/fingering.js';
import { mandolin } from '../../src/hand/instrument.js';
import { type Costs, cheapestRing, planHand } from '../../src/hand/plan.js';
import { prompt } from '../../src/hand/prompt.js';
import { changes } from './charts.js';
import { fingering } from './shapes.js';

/** A ring of candidates that are nothing but names, with whatever they cost. */
const randomRing = fc
  .array(fc.integer({ min: 1, max: 4 }), { minLength: 1, maxLength: 5 })
  .chain((sizes) => {
    const count = sizes.reduce((sum, size) => sum + size, 0);
    const price = fc.integer({ min: 0, max: 300 });
    return fc.record({
      sizes: fc.constant(sizes),
      own: fc.array(price, { minLength: count, maxLength: count }),
      between: fc.array(price, { minLength: count * count, maxLength: count * count }),
    });
  })
  .map(({ sizes, own, between }) => {
    const count = own.length;
    const all = Array.from({ length: count }, () => fingering('1-x-x-x', '1xxx'));
    const place = new Map(all.map((one, index) => [one, index]));
    const at = (one: Fingering): number => place.get(one) as number;
    const costs: Costs = {
      own: (one) => own[at(one)] as number,
      between: (from, to) => between[at(from) * count + at(to)] as number,
    };
    let next = 0;
    const candidates = sizes.map((size) => {
      next += size;
      return all.slice(next - size, next);
    });
    return { candidates, costs };
  });

function ringCost(path: readonly Fingering[], costs: Costs): number {
  const own = path.reduce((sum, one) => sum + costs.own(one), 0);
  if (path.length < 2) return own;
  return path.reduce(
    (sum, one, index) => sum + costs.between(one, path[(index + 1) % path.length] as Fingering),
    own,
  );
}

function everyPath(candidates: readonly (readonly Fingering[])[]): Fingering[][] {
  return candidates.reduce<Fingering[][]>(
    (paths, list) => paths.flatMap((path) => list.map((one) => [...path, one])),
    [[]],
  );
}

describe('cheapestRing', () => {
  it('costs as little as the cheapest of all combinations', () => {
    fc.assert(
      fc.property(randomRing, ({ candidates, costs }) => {
        const chosen = cheapestRing(candidates, costs);
        expect(chosen.map((one, index) => candidates[index]?.includes(one))).toStrictEqual(
          candidates.map(() => true),
        );
        const least = Math.min(...everyPath(candidates).map((path) => ringCost(path, costs)));
        expect(ringCost(chosen, costs)).toBe(least);
      }),
      { numRuns: 300 },
    );
  });

  it('has nothing to choose in an empty ring', () => {
    expect(cheapestRing([], { own: () => 0, between: () => 0 })).toStrictEqual([]);
  });
});

describe('planHand', () => {
  const frets = (numbers: string, tonic: string): string[] =>
    planHand(changes(numbers, tonic), mandolin).changes.map((one) =>
      one.fingering ? `${fretsText(one.fingering.frets)} ${fingersText(one.fingering.fingers)}` : 'none',
    );

  it.each([
    ['1 4', 'G', ['7-5-2-3 4-3-1-2', '5-2-3-x 3-1-2-x']],
    ['1 4', 'B', ['11-9-6-7 4-3-1-2', '9-6-7-x 3-1-2-x']],
    ['1 5', 'G', ['7-5-2-3 4-3-1-2', '7-4-5-x 4-2-3-x']],
    ['1 4 5', 'D', ['7-4-5-x 3-1-2-x', '7-5-2-3 4-3-1-2', '9-7-4-5 4-3-1-2']],
  ])('plays %s of %s the usual way', (numbers, tonic, expected) => {
    expect(frets(numbers, tonic)).toStrictEqual(expected);
  });

  it('keeps its glances when the four-finger family moves up the neck', () => {
    const glances = (tonic: string): (string | null)[] =>
      planHand(changes('1 4 1 5', tonic), mandolin).changes.map(
        (one) => one.motion && prompt(one.motion).glance,
      );
    for (const tonic of ['Ab', 'A', 'Bb', 'B']) expect(glances(tonic)).toStrictEqual(glances('G'));
  });

  it('comes to the first chord from the last', () => {
    const plan = planHand(changes('1 4 5', 'A'), mandolin);
    plan.changes.forEach((one, index) => {
      const before = plan.changes[(index + 2) % 3];
      expect(one.motion?.from).toBe(before?.fingering);
      expect(one.motion?.to).toBe(one.fingering);
    });
  });

  it('has no motion for a chord alone', () => {
    const plan = planHand(changes('1', 'G'), mandolin);
    expect(plan.changes[0]?.motion).toBeNull();
    expect(plan.totalMs).toBe(0);
    expect(plan.changes[0]?.fingering).not.toBeNull();
  });

  it('passes over a chord without a shape, and comes from the one before it', () => {
    const plan = planHand(changes('1 4^sus4 5', 'G'), mandolin);
    expect(plan.changes[1]).toMatchObject({ fingering: null, motion: null, alternatives: [] });
    expect(plan.changes[2]?.motion?.from).toBe(plan.changes[0]?.fingering);
    expect(planHand([], mandolin)).toStrictEqual({ instrument: mandolin, changes: [], totalMs: 0 });
  });

  it('is never bettered by another way for one chord, and adds up its motions', () => {
    const numbers = fc.array(fc.constantFrom('1', '2-', '4', '5', '5^7', '6-', 'b7', '2'), {
      minLength: 1,
      maxLength: 8,
    });
    fc.assert(
      fc.property(numbers, fc.constantFrom('C', 'Db', 'D', 'E', 'F#', 'G', 'Bb'), (list, tonic) => {
        const plan = planHand(changes(list.join(' '), tonic), mandolin);
        expect(plan.totalMs).toBe(plan.changes.reduce((sum, one) => sum + (one.motion?.ms ?? 0), 0));
        for (const { fingering: chosen, alternatives } of plan.changes) {
          const more = alternatives.map((one) => one.moreMs);
          expect(more).toStrictEqual([...more].sort((one, other) => one - other));
          expect(more.filter((ms) => ms < 0)).toStrictEqual([]);
          expect(alternatives.map((one) => one.fingering)).not.toContain(chosen);
        }
      }),
    );
  });
});
