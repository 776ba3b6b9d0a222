import type { Choice, CostTable, RingProblem } from './problem.js';

/**
 * The choice of least cost when every place of the ring is a variable of its own: dynamic programming along the
 * ring, cut open at the variable with the fewest candidates. Each of those is tried as the start, unless what the
 * rest costs at least, the way back to the start left open, is more than the best so far. Exact; among equals the
 * candidate listed first. `problem.ring` must be 0, 1, 2 … in order.
 */
export function solveFree(problem: RingProblem): Choice {
  const count = problem.own.length;
  if (count === 0) return [];
  let cut = 0;
  problem.own.forEach((list, index) => {
    if (list.length < (problem.own[cut] as readonly number[]).length) cut = index;
  });
  const order = problem.own.map((_, index) => (index + cut) % count);
  const own = order.map((variable) => problem.own[variable] as readonly number[]);
  const tables =
    count === 1 ? [] : order.map((from, index) => problem.steps(from, order[(index + 1) % count] as number));
  const least = leastFrom(own, tables);
  const starts = Array.from(least.keys()).sort(
    (one, other) => (least[one] as number) - (least[other] as number) || one - other,
  );
  const back = new Uint16Array(count * Math.max(...own.map((list) => list.length)));
  let best: { start: number; cost: number; path: number[] } | null = null;
  for (const start of starts) {
    const bound = least[start] as number;
    if (best && (bound > best.cost || (bound === best.cost && start > best.start))) continue;
    const { cost, last } = costFrom(start, own, tables, back);
    if (!best || cost < best.cost || (cost === best.cost && start < best.start))
      best = { start, cost, path: pathBack(last, own, back) };
  }
  const choice: number[] = [];
  order.forEach((variable, index) => {
    choice[variable] = best?.path[index] as number;
  });
  return choice;
}

/** For each candidate of the first place the least that a way from it to any end costs, with the cheapest way back to any start. */
function leastFrom(own: readonly (readonly number[])[], tables: readonly CostTable[]): Float64Array {
  let ahead = new Float64Array((own[0] as readonly number[]).length);
  for (let place = own.length - 1; place >= 0; place -= 1) {
    const costs = own[place] as readonly number[];
    const table = tables[place];
    const here = new Float64Array(costs.length);
    for (let from = 0, entry = 0; from < costs.length; from += 1) {
      let low = table ? Number.POSITIVE_INFINITY : 0;
      for (let to = 0; table && to < ahead.length; to += 1, entry += 1) {
        const sum = (table[entry] as number) + (ahead[to] as number);
        if (sum < low) low = sum;
      }
      here[from] = low + (costs[from] as number);
    }
    ahead = here;
  }
  return ahead;
}

/**
 * What the cheapest way round from a start costs, and the candidate of the last place on it. Notes in `back`, with a
 * row for each place, by which candidate of the place before each candidate is reached.
 */
function costFrom(
  start: number,
  own: readonly (readonly number[])[],
  tables: readonly CostTable[],
  back: Uint16Array,
): { cost: number; last: number } {
  const first = own[0] as readonly number[];
  const width = back.length / own.length;
  let reached = new Float64Array(width).fill(Number.POSITIVE_INFINITY);
  let next = new Float64Array(width);
  reached[start] = first[start] as number;
  for (let place = 1, before = first.length; place < own.length; place += 1) {
    const costs = own[place] as readonly number[];
    const count = costs.length;
    const table = tables[place - 1] as CostTable;
    const row = place * width;
    next.fill(Number.POSITIVE_INFINITY, 0, count);
    for (let from = 0, entry = 0; from < before; from += 1) {
      const sofar = reached[from] as number;
      for (let to = 0; to < count; to += 1, entry += 1) {
        const sum = sofar + (table[entry] as number);
        if (sum < (next[to] as number)) {
          next[to] = sum;
          back[row + to] = from;
        }
      }
    }
    for (let to = 0; to < count; to += 1) next[to] = (next[to] as number) + (costs[to] as number);
    [reached, next] = [next, reached];
    before = count;
  }
  let last = 0;
  let cost = Number.POSITIVE_INFINITY;
  const ends = (own.at(-1) as readonly number[]).length;
  for (let candidate = 0; candidate < ends; candidate += 1) {
    const closed = (reached[candidate] as number) + (tables.at(-1)?.[candidate * first.length + start] ?? 0);
    if (closed < cost) {
      cost = closed;
      last = candidate;
    }
  }
  return { cost, last };
}

/** The way that ends at a candidate of the last place. */
function pathBack(last: number, own: readonly unknown[], back: Uint16Array): number[] {
  const width = back.length / own.length;
  const path = [last];
  for (let place = own.length - 1; place > 0; place -= 1)
    path.push(back[place * width + (path.at(-1) as number)] as number);
  return path.reverse();
}
