import type { Choice, CostTable, RingProblem } from './problem.js';

/**
 * The choice of least cost when every place of the ring is a variable of its own: dynamic programming along the
 * ring, cut open at the variable with the fewest candidates, each of which is tried as the start. Ways from different
 * starts soon go on alike, so that all but the first are walked only as far as they differ. Exact; among equals the
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
  const width = own.reduce((most, list) => Math.max(most, list.length), 0);
  const first = emptyWalk(count, width);
  walk(0, own, tables, first, null);
  let best = closed(0, own, tables, first, 0);
  let path = pathBack(best.last, first, first, count, width);
  const next = emptyWalk(count, width);
  for (let start = 1; start < (own[0] as readonly number[]).length; start += 1) {
    const { place, more } = walk(start, own, tables, next, first);
    const found = closed(start, own, tables, place === count ? next : first, more);
    if (found.cost >= best.cost) continue;
    best = found;
    path = pathBack(found.last, next, first, place, width);
  }
  const choice: number[] = [];
  order.forEach((variable, index) => {
    choice[variable] = path[index] as number;
  });
  return choice;
}

/**
 * What it costs to reach each candidate of each place from some start, and by which candidate of the place before; a
 * row for each place.
 */
interface Walk {
  readonly reached: Float64Array;
  readonly by: Uint16Array;
}

function emptyWalk(count: number, width: number): Walk {
  return { reached: new Float64Array(count * width), by: new Uint16Array(count * width) };
}

/**
 * Walks along the ring from a start. Where another walk is given, only up to the place from which on all costs are
 * that walk's and the same amount more: what follows is the same. Gives that place, and the amount; without such a
 * place the number of places.
 */
function walk(
  start: number,
  own: readonly (readonly number[])[],
  tables: readonly CostTable[],
  { reached, by }: Walk,
  known: Walk | null,
): { place: number; more: number } {
  const width = reached.length / own.length;
  const begin = own[0] as readonly number[];
  reached.fill(Number.POSITIVE_INFINITY, 0, begin.length);
  reached[start] = begin[start] as number;
  for (let place = 1; place < own.length; place += 1) {
    const costs = own[place] as readonly number[];
    const count = costs.length;
    const before = (own[place - 1] as readonly number[]).length;
    const table = tables[place - 1] as CostTable;
    const row = place * width;
    reached.fill(Number.POSITIVE_INFINITY, row, row + count);
    for (let from = 0, entry = 0; from < before; from += 1) {
      const sofar = reached[row - width + from] as number;
      for (let to = row; to < row + count; to += 1, entry += 1) {
        const sum = sofar + (table[entry] as number);
        if (sum < (reached[to] as number)) {
          reached[to] = sum;
          by[to] = from;
        }
      }
    }
    for (let to = 0; to < count; to += 1)
      reached[row + to] = (reached[row + to] as number) + (costs[to] as number);
    if (!known) continue;
    const more = (reached[row] as number) - (known.reached[row] as number);
    let alike = 1;
    while (
      alike < count &&
      (reached[row + alike] as number) - (known.reached[row + alike] as number) === more
    )
      alike += 1;
    if (alike === count) return { place, more };
  }
  return { place: own.length, more: 0 };
}

/** The least that a way round costs whose last place was reached in a walk at some amount more, and its last candidate. */
function closed(
  start: number,
  own: readonly (readonly number[])[],
  tables: readonly CostTable[],
  { reached }: Walk,
  more: number,
): { cost: number; last: number } {
  const row = (own.length - 1) * (reached.length / own.length);
  const starts = (own[0] as readonly number[]).length;
  const table = tables.at(-1);
  let last = 0;
  let cost = Number.POSITIVE_INFINITY;
  for (let candidate = 0; candidate < (own.at(-1) as readonly number[]).length; candidate += 1) {
    const sum = (reached[row + candidate] as number) + more + (table?.[candidate * starts + start] ?? 0);
    if (sum < cost) {
      cost = sum;
      last = candidate;
    }
  }
  return { cost, last };
}

/** The way to a candidate of the last place: from a place on as the second walk went, up to it as the first did. */
function pathBack(last: number, upTo: Walk, from: Walk, joined: number, width: number): number[] {
  const path = [last];
  for (let place = from.by.length / width - 1; place > 0; place -= 1) {
    const { by } = place > joined ? from : upTo;
    path.push(by[place * width + (path.at(-1) as number)] as number);
  }
  return path.reverse();
}
