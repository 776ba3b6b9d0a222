import { type Choice, type CostTable, type RingProblem, StepTables } from './problem.js';

/**
 * The choice of least cost when every place of the ring is a variable of its own: dynamic programming along the
 * ring, cut open at the variable with the fewest candidates. Exact; among equals the candidate listed first.
 * `problem.ring` must be 0, 1, 2 … in order.
 */
export function solveFree(problem: RingProblem): Choice {
  const { own } = problem;
  const count = own.length;
  if (count === 0) return [];
  let cut = 0;
  own.forEach((list, index) => {
    if (list.length < (own[cut] as readonly number[]).length) cut = index;
  });
  const order = own.map((_, index) => (index + cut) % count);
  const known = new StepTables(problem);
  const tables =
    count === 1 ? [] : order.map((from, index) => known.of(from, order[(index + 1) % count] as number));
  let best: { cost: number; path: number[] } | null = null;
  for (let start = 0; start < (own[cut] as readonly number[]).length; start += 1) {
    const found = pathFrom(start, order, own, tables);
    if (best === null || found.cost < best.cost) best = found;
  }
  const choice: number[] = [];
  order.forEach((variable, index) => {
    choice[variable] = best?.path[index] as number;
  });
  return choice;
}

function pathFrom(
  start: number,
  order: readonly number[],
  own: readonly (readonly number[])[],
  tables: readonly CostTable[],
): { cost: number; path: number[] } {
  const first = own[order[0] as number] as readonly number[];
  let reached = Float64Array.from(first, (cost, candidate) =>
    candidate === start ? cost : Number.POSITIVE_INFINITY,
  );
  const back: Int32Array[] = [];
  for (let place = 1; place < order.length; place += 1) {
    const costs = own[order[place] as number] as readonly number[];
    const table = tables[place - 1] as Float64Array;
    const next = new Float64Array(costs.length);
    const by = new Int32Array(costs.length);
    for (let to = 0; to < costs.length; to += 1) {
      let least = Number.POSITIVE_INFINITY;
      for (let from = 0; from < reached.length; from += 1) {
        const sum = (reached[from] as number) + (table[from * costs.length + to] as number);
        if (sum < least) {
          least = sum;
          by[to] = from;
        }
      }
      next[to] = least + (costs[to] as number);
    }
    back.push(by);
    reached = next;
  }
  let last = 0;
  let cost = Number.POSITIVE_INFINITY;
  reached.forEach((sum, candidate) => {
    const closing = tables.at(-1)?.[candidate * first.length + start] ?? 0;
    const closed = sum + closing;
    if (closed < cost) {
      cost = closed;
      last = candidate;
    }
  });
  const path = [last];
  for (let place = back.length - 1; place >= 0; place -= 1)
    path.push((back[place] as Int32Array)[path.at(-1) as number] as number);
  return { cost, path: path.reverse() };
}
