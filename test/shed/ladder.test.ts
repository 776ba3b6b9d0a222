import { describe, expect, it } from 'vitest';
import {
  beginLadder,
  bestOf,
  climb,
  type Ladder,
  type PassResult,
  usualLadder,
} from '../../src/shed/ladder.js';
import { seeded } from '../../src/shed/seeded.js';

function marked(marks: string, rules = {}): Ladder {
  const results: Readonly<Record<string, PassResult>> = { c: 'clean', m: 'miss', '-': 'unmarked' };
  return [...marks].reduce(
    (ladder, mark) => climb(ladder, results[mark] as PassResult),
    beginLadder({ ...usualLadder, target: 200, ...rules }),
  );
}

describe('climb', () => {
  it.each([
    // 120 is 60 % of 200; a step up is 12 %, a turn halves it.
    ['', 120],
    ['c', 120],
    ['cc', 134.4],
    ['cccc', 150.528],
    ['m', 120 / 1.12],
    ['ccm', 134.4 / 1.06],
    ['ccmcc', (134.4 / 1.06) * 1.03],
    ['c-c', 134.4],
    ['---', 120],
    ['cmc', 120 / 1.12],
  ])('after %j goes on at %d', (marks, bpm) => {
    expect(marked(marks).bpm).toBeCloseTo(bpm, 9);
  });

  it('does not go beyond the target, and ends when that holds', () => {
    const there = marked('cccccccccc');
    expect(there.bpm).toBe(200);
    expect(there.holds).toBeNull();
    expect(marked('cccccccccccc').holds).toBe(200);
  });

  it('ends in the middle of its last turns when it has turned often enough', () => {
    const turned = marked('ccmccmccmcc');
    expect(turned.turned).toHaveLength(6);
    expect(turned.holds).not.toBeNull();
    const last = turned.turned.slice(-4);
    expect(turned.holds).toBeGreaterThan(Math.min(...last));
    expect(turned.holds).toBeLessThan(Math.max(...last));
  });

  it('keeps unmarked passes, which count for nothing', () => {
    const ladder = marked('----------');
    expect(ladder.rungs).toHaveLength(10);
    expect(ladder.holds).toBeNull();
    expect(bestOf(ladder)).toBeNull();
    expect(bestOf(marked('ccc'))).toBeCloseTo(134.4);
  });

  /*
   * Up after n clean passes in a row, down after one miss: settles where p^n = 1/2, that is at 70.7, 79.4 and 84.1 %
   * clean (Levitt 1971, Transformed up-down methods in psychoacoustics). A simulated player whose passes are clean with
   * a probability that falls over tempo; how clean the passes are at the tempos it turns at, to within 2.5 points.
   */
  it.each([
    [2, Math.SQRT1_2],
    [3, 0.794],
    [4, 0.841],
  ])('settles, with %i clean passes up, where %d of them are clean', (inRow, share) => {
    const random = seeded(7);
    const clean = (bpm: number): number => 1 / (1 + Math.exp(18 * Math.log(bpm / 150)));
    let ladder = beginLadder({
      ...usualLadder,
      target: 1e9,
      start: 100 / 1e9,
      inRow,
      leastStep: 0.01,
      turns: 1e9,
    });
    const all: number[] = [];
    for (let pass = 0; pass < 40_000; pass += 1) {
      const next = climb(ladder, random() < clean(ladder.bpm) ? 'clean' : 'miss');
      all.push(...next.turned);
      // What has been is not needed any more, and copying it is what takes long.
      ladder = { ...next, rungs: [], turned: [] };
    }
    const turned = all.slice(50);
    const middle = Math.exp(turned.reduce((sum, bpm) => sum + Math.log(bpm), 0) / turned.length);
    expect(Math.abs(clean(middle) - share)).toBeLessThan(0.025);
  });

  it('finds the tempo that holds of a player, near enough in thirty passes', () => {
    // Where two in a row are clean half of the time: 18·ln(bpm/150) = −ln(0.707/0.293).
    const settles = 150 * Math.exp(-Math.log(Math.SQRT1_2 / (1 - Math.SQRT1_2)) / 18);
    const errors: number[] = [];
    for (let seed = 0; seed < 200; seed += 1) {
      const random = seeded(seed);
      let ladder = beginLadder({ ...usualLadder, target: 220 });
      for (let pass = 0; pass < 60 && ladder.holds === null; pass += 1)
        ladder = climb(
          ladder,
          random() < 1 / (1 + Math.exp(18 * Math.log(ladder.bpm / 150))) ? 'clean' : 'miss',
        );
      errors.push(Math.abs((bestOf(ladder) ?? 0) - settles) / settles);
    }
    errors.sort((one, other) => one - other);
    expect(errors[100]).toBeLessThan(0.05);
    expect(errors[190]).toBeLessThan(0.15);
  });
});
