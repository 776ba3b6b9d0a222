import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { solveFree } from '../../../src/hand/solve/free.js';
import { solveHardest } from '../../../src/hand/solve/hardest.js';
import {
  type Choice,
  hardestStep,
  type RingProblem,
  type Tie,
  totalCost,
} from '../../../src/hand/solve/problem.js';
import { solveSteady } from '../../../src/hand/solve/steady.js';

/** Every choice there is. */
function* choices(problem: RingProblem, chosen: number[] = []): Generator<Choice> {
  if (chosen.length === problem.own.length) {
    yield chosen;
    return;
  }
  for (const [candidate] of (problem.own[chosen.length] as readonly number[]).entries())
    yield* choices(problem, [...chosen, candidate]);
}

function leastTotal(problem: RingProblem): number {
  let least = Number.POSITIVE_INFINITY;
  for (const choice of choices(problem)) least = Math.min(least, totalCost(problem, choice));
  return least;
}

/** The least dearest step, and the least total among the choices that have it. */
function leastHardest(problem: RingProblem): [number, number] {
  let best: [number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (const choice of choices(problem)) {
    const found: [number, number] = [hardestStep(problem, choice), totalCost(problem, choice)];
    if (found[0] < best[0] || (found[0] === best[0] && found[1] < best[1])) best = found;
  }
  return best;
}

/** Tables of the costs that a function gives for each pair of candidates. */
function stepsBetween(
  own: RingProblem['own'],
  between: (from: number, candidate: number, to: number, next: number) => number,
): RingProblem['steps'] {
  return (from, to) =>
    Float64Array.from(
      (own[from] as readonly number[]).flatMap((_, candidate) =>
        (own[to] as readonly number[]).map((__, next) => between(from, candidate, to, next)),
      ),
    );
}

/** A problem with random costs; few different ones, so that ties are common. */
function problems(ring: fc.Arbitrary<number[]>, mostCandidates: number): fc.Arbitrary<RingProblem> {
  return ring.chain((order) => {
    const count = Math.max(...order) + 1;
    return fc
      .record({
        own: fc.array(fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: mostCandidates }), {
          minLength: count,
          maxLength: count,
        }),
        costs: fc.array(fc.integer({ min: 0, max: 20 }), { minLength: 97, maxLength: 97 }),
      })
      .map(
        ({ own, costs }): RingProblem => ({
          own,
          ring: order,
          steps: stepsBetween(
            own,
            (from, candidate, to, next) =>
              costs[(from * 31 + candidate * 17 + to * 7 + next * 3) % 97] as number,
          ),
        }),
      );
  });
}

/** What a tie costs, by trying every shape as the usual one. */
function leavingCost({ variables, prices, shapes }: Tie, choice: Choice): number {
  const shapeAt = (place: number): number =>
    shapes[place]?.[choice[variables[place] as number] as number] as number;
  const asked = shapes
    .flat()
    .map((usual) => prices.reduce((sum, price, place) => sum + (shapeAt(place) === usual ? 0 : price), 0));
  return Math.min(...asked);
}

/**
 * The same problems with ties: the variables are dealt out to up to three ties and none, and any of their candidates
 * may be of any of four shapes, so that some shape of a tie may be open to one of its variables only.
 */
function tied(problem: fc.Arbitrary<RingProblem>): fc.Arbitrary<RingProblem> {
  return problem.chain((one) =>
    fc
      .record({
        dealt: fc.array(fc.nat(3), { minLength: one.own.length, maxLength: one.own.length }),
        prices: fc.array(fc.integer({ min: 0, max: 25 }), {
          minLength: one.own.length,
          maxLength: one.own.length,
        }),
        shapes: fc.tuple(
          ...one.own.map((list) => fc.array(fc.nat(3), { minLength: list.length, maxLength: list.length })),
        ),
      })
      .map(({ dealt, prices, shapes }): RingProblem => {
        const ties = [0, 1, 2].flatMap((tie): Tie[] => {
          const variables = dealt.flatMap((which, variable) => (which === tie ? [variable] : []));
          const of = <T>(list: readonly T[]): T[] => variables.map((variable) => list[variable] as T);
          return variables.length === 0 ? [] : [{ variables, prices: of(prices), shapes: of(shapes) }];
        });
        return { ...one, ties };
      }),
  );
}

/** Up to five variables, each of which comes at least once, in any order. */
const steadyRing = fc
  .tuple(fc.integer({ min: 1, max: 5 }), fc.array(fc.nat(4), { maxLength: 10 }))
  .map(([count, order]) => [
    ...Array.from({ length: count }, (_, index) => index),
    ...order.map((one) => one % count),
  ]);
const freeRing = fc
  .integer({ min: 1, max: 5 })
  .map((count) => Array.from({ length: count }, (_, index) => index));
const longRing = fc
  .integer({ min: 6, max: 8 })
  .map((count) => Array.from({ length: count }, (_, index) => index));

describe('solveFree', () => {
  it('costs what trying everything finds', () => {
    fc.assert(
      fc.property(problems(freeRing, 6), (problem) => {
        expect(totalCost(problem, solveFree(problem))).toBe(leastTotal(problem));
      }),
    );
  });

  it('costs what trying everything finds where the ring is longer, so that ways join', () => {
    fc.assert(
      fc.property(problems(longRing, 3), (problem) => {
        expect(totalCost(problem, solveFree(problem))).toBe(leastTotal(problem));
      }),
    );
  });

  it('has the easiest hardest step, and the least total with it', () => {
    fc.assert(
      fc.property(problems(freeRing, 5), (problem) => {
        const choice = solveHardest(problem, solveFree);
        expect([hardestStep(problem, choice), totalCost(problem, choice)]).toEqual(leastHardest(problem));
      }),
    );
  });
});

describe('solveSteady', () => {
  it('costs what trying everything finds', () => {
    fc.assert(
      fc.property(problems(steadyRing, 6), (problem) => {
        expect(totalCost(problem, solveSteady(problem))).toBe(leastTotal(problem));
      }),
      { numRuns: 300 },
    );
  });

  it('has the easiest hardest step, and the least total with it', () => {
    fc.assert(
      fc.property(problems(steadyRing, 5), (problem) => {
        const choice = solveHardest(problem, solveSteady);
        expect([hardestStep(problem, choice), totalCost(problem, choice)]).toEqual(leastHardest(problem));
      }),
    );
  });

  it('counts what leaving the usual shape of a tie costs, that of the best usual shape', () => {
    fc.assert(
      fc.property(tied(problems(steadyRing, 3)), fc.infiniteStream(fc.nat(2)), (problem, picks) => {
        const choice = problem.own.map((list) => (picks.next().value as number) % list.length);
        const ties = problem.ties ?? [];
        expect(totalCost(problem, choice)).toBe(
          totalCost({ ...problem, ties: [] }, choice) +
            ties.reduce((sum, tie) => sum + leavingCost(tie, choice), 0),
        );
      }),
    );
  });

  it('costs what trying everything finds, with ties', () => {
    fc.assert(
      fc.property(tied(problems(steadyRing, 5)), (problem) => {
        expect(totalCost(problem, solveSteady(problem))).toBe(leastTotal(problem));
      }),
      { numRuns: 300 },
    );
  });

  it('has the easiest hardest step, and the least total with it, with ties', () => {
    fc.assert(
      fc.property(tied(problems(steadyRing, 4)), (problem) => {
        const choice = solveHardest(problem, solveSteady);
        expect([hardestStep(problem, choice), totalCost(problem, choice)]).toEqual(leastHardest(problem));
      }),
    );
  });

  it('is exact where the tables would be too large to eliminate, by branching', () => {
    // Every pair of nine variables meets, with nine candidates each: 9^9 entries for the first elimination.
    const count = 9;
    const ring: number[] = [];
    for (let one = 0; one < count; one += 1)
      for (let other = one + 1; other < count; other += 1) ring.push(one, other);
    // A hidden choice costs nothing anywhere; everything else costs something.
    const hidden = (variable: number): number => (variable * 5 + 2) % 9;
    const own = Array.from({ length: count }, () => Array.from({ length: 9 }, () => 0));
    const problem: RingProblem = {
      own,
      ring,
      steps: stepsBetween(own, (from, candidate, to, next) =>
        candidate === hidden(from) && next === hidden(to)
          ? 0
          : 1 + ((from + candidate * 3 + to * 5 + next * 7) % 4),
      ),
    };
    expect(solveSteady(problem)).toEqual(Array.from({ length: count }, (_, variable) => hidden(variable)));
  });
});
