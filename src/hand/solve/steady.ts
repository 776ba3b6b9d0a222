import { type Choice, type RingProblem, ringSteps } from './problem.js';

/** Entries the largest table may have; beyond it a variable is fixed to each of its candidates in turn. */
const tableBudget = 1 << 20;

/** Costs over some variables, in ascending order; the last varies fastest. */
interface Factor {
  readonly variables: readonly number[];
  readonly table: Float64Array;
}

/**
 * The choice of least cost when a variable comes several times and keeps its candidate throughout. Candidates that
 * another is never worse than are set aside; then variables are eliminated one by one, that with the smallest
 * table first, and chosen backwards. Where a table would be too large, one variable is tried with each of its
 * candidates, with bounds. Exact; ties always fall the same way.
 */
export function solveSteady(problem: RingProblem): Choice {
  const times = problem.own.map((_, variable) => problem.ring.filter((one) => one === variable).length);
  const unary = problem.own.map((costs, variable) => costs.map((cost) => cost * (times[variable] as number)));
  const pairs = pairFactors(problem);
  const kept = undominated(unary, pairs);
  const sizes = kept.map((list) => list.length);
  const factors: Factor[] = [
    ...unary.map((costs, variable) => ({
      variables: [variable],
      table: Float64Array.from(kept[variable] as number[], (candidate) => costs[candidate] as number),
    })),
    ...pairs.map((pair) => shrunk(pair, kept, unary)),
  ];
  const solved = solve(factors, sizes, new Set(sizes.keys()), Number.POSITIVE_INFINITY);
  return problem.own.map(
    (_, variable) => (kept[variable] as number[])[solved?.choice.get(variable) ?? 0] as number,
  );
}

/** The costs of all steps between two variables, both ways, as one table. */
function pairFactors(problem: RingProblem): Factor[] {
  const tables = new Map<string, Factor>();
  for (const { from, to, times } of ringSteps(problem.ring)) {
    const [first, second] = from < to ? [from, to] : [to, from];
    const rows = (problem.own[first] as readonly number[]).length;
    const columns = (problem.own[second] as readonly number[]).length;
    const key = `${first} ${second}`;
    const factor = tables.get(key) ?? { variables: [first, second], table: new Float64Array(rows * columns) };
    tables.set(key, factor);
    for (let row = 0; row < rows; row += 1) {
      for (let column = 0; column < columns; column += 1) {
        const cost =
          from < to ? problem.between(from, row, to, column) : problem.between(from, column, to, row);
        factor.table[row * columns + column] =
          (factor.table[row * columns + column] as number) + times * cost;
      }
    }
  }
  return [...tables.values()];
}

/**
 * For each variable the candidates worth keeping: one goes when another is never dearer, whatever the neighbours
 * take (dead-end elimination). Of two that are always equal the first stays.
 */
function undominated(unary: readonly (readonly number[])[], pairs: readonly Factor[]): number[][] {
  const kept = unary.map((costs) => costs.map((_, candidate) => candidate));
  const cost = (pair: Factor, variable: number, candidate: number, other: number): number => {
    const columns = (unary[pair.variables[1] as number] as readonly number[]).length;
    return pair.table[
      pair.variables[0] === variable ? candidate * columns + other : other * columns + candidate
    ] as number;
  };
  for (let changed = true; changed; ) {
    changed = false;
    for (const [variable, costs] of unary.entries()) {
      const around = pairs.filter((pair) => pair.variables.includes(variable));
      const neverDearer = (one: number, than: number): boolean => {
        let least = (costs[than] as number) - (costs[one] as number);
        for (const pair of around) {
          const neighbour = (
            pair.variables[0] === variable ? pair.variables[1] : pair.variables[0]
          ) as number;
          let worst = Number.POSITIVE_INFINITY;
          for (const other of kept[neighbour] as number[])
            worst = Math.min(worst, cost(pair, variable, than, other) - cost(pair, variable, one, other));
          least += worst;
        }
        return least > 0 || (least === 0 && one < than);
      };
      const list = kept[variable] as number[];
      const left = list.filter(
        (candidate) => !list.some((one) => one !== candidate && neverDearer(one, candidate)),
      );
      if (left.length > 0 && left.length < list.length) {
        kept[variable] = left;
        changed = true;
      }
    }
  }
  return kept;
}

/** A pair's table with only the candidates that were kept. */
function shrunk(pair: Factor, kept: readonly number[][], unary: readonly (readonly number[])[]): Factor {
  const [first, second] = pair.variables as [number, number];
  const columns = (unary[second] as readonly number[]).length;
  const table = (kept[first] as number[]).flatMap((row) =>
    (kept[second] as number[]).map((column) => pair.table[row * columns + column] as number),
  );
  return { variables: pair.variables, table: Float64Array.from(table) };
}

interface Solved {
  readonly cost: number;
  readonly choice: Map<number, number>;
}

/** Solves what is left; `null` when nothing costs less than `bound`. */
function solve(
  factors: readonly Factor[],
  sizes: readonly number[],
  open: ReadonlySet<number>,
  bound: number,
): Solved | null {
  const left = new Set(open);
  let pool = [...factors];
  const eliminated: { variable: number; scope: readonly number[]; by: Int32Array }[] = [];
  while (left.size > 0) {
    const next = cheapest(left, pool, sizes);
    if (next.entries > tableBudget) {
      const rest = branch(pool, sizes, left, bound);
      if (!rest) return null;
      return { cost: rest.cost, choice: chooseBack(eliminated, rest.choice, sizes) };
    }
    const touching = pool.filter((factor) => factor.variables.includes(next.variable));
    const made = eliminate(next.variable, next.scope, touching, sizes);
    pool = [...pool.filter((factor) => !touching.includes(factor)), made.factor];
    eliminated.push({ variable: next.variable, scope: next.scope, by: made.by });
    left.delete(next.variable);
  }
  const cost = pool.reduce((sum, factor) => sum + (factor.table[0] as number), 0);
  return cost < bound ? { cost, choice: chooseBack(eliminated, new Map(), sizes) } : null;
}

/** The variable whose elimination makes the smallest table. */
function cheapest(
  left: ReadonlySet<number>,
  pool: readonly Factor[],
  sizes: readonly number[],
): { variable: number; scope: number[]; entries: number } {
  let best: { variable: number; scope: number[]; entries: number } | null = null;
  for (const variable of left) {
    const scope = new Set<number>();
    for (const factor of pool)
      if (factor.variables.includes(variable))
        for (const one of factor.variables) if (one !== variable) scope.add(one);
    const entries = [...scope].reduce(
      (product, one) => product * (sizes[one] as number),
      sizes[variable] as number,
    );
    if (best === null || entries < best.entries)
      best = { variable, scope: [...scope].sort((one, other) => one - other), entries };
  }
  return best as { variable: number; scope: number[]; entries: number };
}

/** The least cost over one variable for every setting of its neighbours, and which of its candidates gives it. */
function eliminate(
  variable: number,
  scope: readonly number[],
  factors: readonly Factor[],
  sizes: readonly number[],
): { factor: Factor; by: Int32Array } {
  const entries = scope.reduce((product, one) => product * (sizes[one] as number), 1);
  const table = new Float64Array(entries);
  const by = new Int32Array(entries);
  const setting = new Map<number, number>(scope.map((one) => [one, 0]));
  const size = sizes[variable] as number;
  for (let entry = 0; entry < entries; entry += 1) {
    let rest = entry;
    for (let index = scope.length - 1; index >= 0; index -= 1) {
      const one = scope[index] as number;
      setting.set(one, rest % (sizes[one] as number));
      rest = Math.floor(rest / (sizes[one] as number));
    }
    let least = Number.POSITIVE_INFINITY;
    for (let candidate = 0; candidate < size; candidate += 1) {
      setting.set(variable, candidate);
      let sum = 0;
      for (const factor of factors) sum += factor.table[entryOf(factor, setting, sizes)] as number;
      if (sum < least) {
        least = sum;
        by[entry] = candidate;
      }
    }
    table[entry] = least;
  }
  return { factor: { variables: scope, table }, by };
}

function entryOf(factor: Factor, setting: ReadonlyMap<number, number>, sizes: readonly number[]): number {
  let entry = 0;
  for (const one of factor.variables) entry = entry * (sizes[one] as number) + (setting.get(one) as number);
  return entry;
}

function chooseBack(
  eliminated: readonly { variable: number; scope: readonly number[]; by: Int32Array }[],
  choice: Map<number, number>,
  sizes: readonly number[],
): Map<number, number> {
  for (const { variable, scope, by } of [...eliminated].reverse()) {
    choice.set(
      variable,
      by[entryOf({ variables: scope, table: new Float64Array(0) }, choice, sizes)] as number,
    );
  }
  return choice;
}

/** Tries the most entangled variable with each of its candidates, the rest being solved each time; what cannot be better is cut off. */
function branch(
  pool: readonly Factor[],
  sizes: readonly number[],
  left: ReadonlySet<number>,
  bound: number,
): Solved | null {
  const degree = (variable: number): number =>
    pool.filter((factor) => factor.variables.includes(variable)).length;
  const variable = [...left].sort((one, other) => degree(other) - degree(one) || one - other)[0] as number;
  const rest = new Set([...left].filter((one) => one !== variable));
  let best: Solved | null = null;
  let least = bound;
  for (let candidate = 0; candidate < (sizes[variable] as number); candidate += 1) {
    const fixed = pool.map((factor) =>
      factor.variables.includes(variable) ? fix(factor, variable, candidate, sizes) : factor,
    );
    const atLeast = fixed.reduce(
      (sum, factor) =>
        sum + factor.table.reduce((low, cost) => Math.min(low, cost), Number.POSITIVE_INFINITY),
      0,
    );
    if (atLeast >= least) continue;
    const found = solve(fixed, sizes, rest, least);
    if (!found || found.cost >= least) continue;
    least = found.cost;
    found.choice.set(variable, candidate);
    best = found;
  }
  return best;
}

/** A factor with one of its variables set. */
function fix(factor: Factor, variable: number, candidate: number, sizes: readonly number[]): Factor {
  const variables = factor.variables.filter((one) => one !== variable);
  const entries = variables.reduce((product, one) => product * (sizes[one] as number), 1);
  const table = new Float64Array(entries);
  const setting = new Map<number, number>([[variable, candidate]]);
  for (let entry = 0; entry < entries; entry += 1) {
    let rest = entry;
    for (let index = variables.length - 1; index >= 0; index -= 1) {
      const one = variables[index] as number;
      setting.set(one, rest % (sizes[one] as number));
      rest = Math.floor(rest / (sizes[one] as number));
    }
    table[entry] = factor.table[entryOf(factor, setting, sizes)] as number;
  }
  return { variables, table };
}
