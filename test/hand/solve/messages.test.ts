import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { undominated } from '../../../src/hand/solve/dominance.js';
import { EliminationOrder } from '../../../src/hand/solve/elimination-order.js';
import { type Edge, Messages, stateOf } from '../../../src/hand/solve/messages.js';

interface Network {
  readonly unary: readonly Float64Array[];
  readonly edges: readonly Edge[];
}

const costs = (count: number, most: number) =>
  fc
    .array(fc.integer({ min: 0, max: most }), { minLength: count, maxLength: count })
    .map((list) => Float64Array.from(list));

/** Up to five variables of up to four candidates, each pair met or not, with costs that are often equal. */
const networks: fc.Arbitrary<Network> = fc
  .tuple(
    fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 2, maxLength: 5 }),
    fc.constantFrom(3, 20, 300),
  )
  .chain(([sizes, most]) =>
    fc.record({
      unary: fc.tuple(...sizes.map((size) => costs(size, most))),
      edges: fc
        .tuple(
          ...sizes.flatMap((rows, first) =>
            sizes
              .slice(first + 1)
              .map((columns, index) =>
                fc
                  .tuple(fc.boolean(), costs(rows * columns, most))
                  .map(([meet, table]): Edge[] =>
                    meet ? [{ first, second: first + 1 + index, table }] : [],
                  ),
              ),
          ),
        )
        .map((list) => list.flat()),
    }),
  );

function* choices(sizes: readonly number[], chosen: number[] = []): Generator<readonly number[]> {
  if (chosen.length === sizes.length) yield chosen;
  else
    for (let one = 0; one < (sizes[chosen.length] as number); one += 1)
      yield* choices(sizes, [...chosen, one]);
}

function costOf({ unary, edges }: Network, choice: readonly number[]): number {
  const alone = choice.reduce((sum, candidate, one) => sum + (unary[one]?.[candidate] as number), 0);
  return edges.reduce(
    (sum, { first, second, table }) =>
      sum +
      (table[
        (choice[first] as number) * (unary[second]?.length as number) + (choice[second] as number)
      ] as number),
    alone,
  );
}

const sizesOf = ({ unary }: Network): number[] => unary.map((list) => list.length);

describe('messages', () => {
  it('bound what every choice costs, and what every choice with a candidate costs', () => {
    fc.assert(
      fc.property(networks, fc.integer({ min: 1, max: 6 }), (network, sweeps) => {
        const state = stateOf(network.unary, network.edges);
        const messages = new Messages(network.unary.length, network.edges);
        let bound = 0;
        for (let sweep = 0; sweep < sweeps; sweep += 1) {
          messages.forward(state, null);
          bound = messages.backward(state);
        }
        const excess = messages.forward(state, null);
        for (const choice of choices(sizesOf(network))) {
          const cost = costOf(network, choice);
          choice.forEach((candidate, variable) => {
            expect(cost).toBeGreaterThanOrEqual(bound + (excess[variable]?.[candidate] as number) - 1e-6);
          });
        }
      }),
      { numRuns: 300 },
    );
  });

  it('tell a chain exactly what it costs', () => {
    fc.assert(
      fc.property(networks, (network) => {
        const chain = {
          ...network,
          edges: network.edges.filter(({ first, second }) => second === first + 1),
        };
        const state = stateOf(chain.unary, chain.edges);
        const messages = new Messages(chain.unary.length, chain.edges);
        messages.forward(state, null);
        const least = Math.min(...[...choices(sizesOf(chain))].map((choice) => costOf(chain, choice)));
        expect(messages.backward(state)).toBeCloseTo(least, 6);
      }),
    );
  });
});

describe('undominated', () => {
  it('loses nothing, and keeps no candidate that another is never dearer than', () => {
    fc.assert(
      fc.property(networks, (network) => {
        const unary = network.unary.map((list) => [...list]);
        const kept = undominated(
          unary,
          network.edges.map(({ first, second, table }) => ({ variables: [first, second], table })),
        );
        const all = [...choices(sizesOf(network))];
        const isKept = (choice: readonly number[]): boolean =>
          choice.every((candidate, variable) => kept[variable]?.includes(candidate));
        const least = (list: readonly (readonly number[])[]): number =>
          Math.min(...list.map((choice) => costOf(network, choice)));
        expect(least(all.filter(isKept))).toBe(least(all));
        // The same question, asked pair by pair without any bound.
        const worst = (one: number, than: number, variable: number): number =>
          network.edges.reduce(
            (sum, edge) => {
              if (edge.first !== variable && edge.second !== variable) return sum;
              const other = edge.first === variable ? edge.second : edge.first;
              const columns = network.unary[edge.second]?.length as number;
              const at = (own: number, beside: number): number =>
                edge.table[
                  edge.first === variable ? own * columns + beside : beside * columns + own
                ] as number;
              return (
                sum +
                Math.min(...(kept[other] as number[]).map((beside) => at(than, beside) - at(one, beside)))
              );
            },
            (unary[variable]?.[than] as number) - (unary[variable]?.[one] as number),
          );
        kept.forEach((list, variable) => {
          for (const one of list)
            for (const than of list)
              if (one !== than) {
                const more = worst(one, than, variable);
                expect(more > 0 || (more === 0 && one < than)).toBe(false);
              }
        });
      }),
      { numRuns: 300 },
    );
  });
});

describe('the order of elimination', () => {
  it('takes those that meet two at most first, and counts those that come to meet', () => {
    // A ring of four with a tail: the tail first, then the ring, whose ends come to meet.
    const pair = (one: number, other: number) => ({ variables: [one, other], table: new Float64Array(0) });
    const order = new EliminationOrder(
      [pair(0, 1), pair(1, 2), pair(2, 3), pair(0, 3), pair(3, 4)],
      [2, 3, 2, 5, 2],
    );
    const taken: (number | undefined)[] = [];
    for (let next = order.next(); next; next = order.next()) {
      taken.push(next.variable, next.meets);
      order.takeOut(next.variable);
    }
    expect(taken).toStrictEqual([4, 1, 1, 2, 0, 2, 2, 1, 3, 0]);
    expect(order.left()).toStrictEqual([]);
  });
});
