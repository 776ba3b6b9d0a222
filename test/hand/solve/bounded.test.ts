import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type PairNetwork, solveBounded } from '../../../src/hand/solve/bounded.js';
import { forbidden } from '../../../src/hand/solve/problem.js';

function costOf({ unary, pairs }: PairNetwork, choice: readonly number[]): number {
  const alone = choice.reduce((sum, candidate, one) => sum + (unary[one]?.[candidate] as number), 0);
  return pairs.reduce((sum, { first, second, table }) => {
    const columns = unary[second]?.length as number;
    return sum + (table[(choice[first] as number) * columns + (choice[second] as number)] as number);
  }, alone);
}

function leastOf(network: PairNetwork, choice: number[] = []): number {
  if (choice.length === network.unary.length) return costOf(network, choice);
  let least = Number.POSITIVE_INFINITY;
  network.unary[choice.length]?.forEach((_, candidate) => {
    least = Math.min(least, leastOf(network, [...choice, candidate]));
  });
  return least;
}

/** Up to five variables of up to five candidates; now and then a pair never meets, and a step is forbidden. */
const networks = fc.array(fc.integer({ min: 1, max: 5 }), { minLength: 1, maxLength: 5 }).chain((sizes) => {
  const cost = fc.oneof(
    { weight: 9, arbitrary: fc.integer({ min: 0, max: 60 }) },
    { weight: 1, arbitrary: fc.constant(forbidden) },
  );
  const table = (entries: number) =>
    fc.array(cost, { minLength: entries, maxLength: entries }).map((costs) => Float64Array.from(costs));
  return fc.record({
    unary: fc.tuple(
      ...sizes.map((size) =>
        fc
          .array(fc.integer({ min: 0, max: 60 }), { minLength: size, maxLength: size })
          .map((costs) => Float64Array.from(costs)),
      ),
    ),
    pairs: fc
      .tuple(
        ...sizes.flatMap((rows, first) =>
          sizes
            .slice(first + 1)
            .map((columns, index) =>
              fc
                .oneof({ weight: 4, arbitrary: table(rows * columns) }, fc.constant(null))
                .map((costs) => (costs ? [{ first, second: first + 1 + index, table: costs }] : [])),
            ),
        ),
      )
      .map((pairs) => pairs.flat()),
  });
});

describe('solveBounded', () => {
  it('costs what trying everything finds', () => {
    fc.assert(
      fc.property(networks, (network) => {
        const choice = solveBounded(network);
        expect(choice).toHaveLength(network.unary.length);
        const [found, least] = [costOf(network, choice), leastOf(network)];
        // Where everything is forbidden it does not matter how often.
        if (least < forbidden) expect(found).toBe(least);
        else expect(found).toBeGreaterThanOrEqual(forbidden);
      }),
      { numRuns: 500 },
    );
  });

  it('gives the same choice every time', () => {
    fc.assert(
      fc.property(networks, (network) => {
        expect(solveBounded(network)).toEqual(solveBounded(network));
      }),
      { numRuns: 50 },
    );
  });
});
