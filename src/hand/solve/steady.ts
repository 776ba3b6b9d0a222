import { type PairNetwork, solveBounded } from './bounded.js';
import { chooseBack, type Eliminated, eliminate, type Factor, scopeOf } from './eliminate.js';
import type { Edge } from './messages.js';
import { type Choice, type RingProblem, ringSteps, type Tie, timesOf } from './problem.js';

/** Entries that are worked through in an elimination; where it would take more, branch and bound is quicker. */
const entryBudget = 20_000;

/**
 * The choice of least cost when a variable comes several times and keeps its candidate throughout, ties included:
 * the usual shape of each is a variable more. Candidates that
 * another is never worse than are set aside; then variables are eliminated one by one, that with the smallest
 * table first, and chosen backwards. A core in which so many meet that its tables would be too large is solved by
 * branch and bound. Exact; ties always fall the same way.
 */
export function solveSteady(problem: RingProblem): Choice {
  const times = timesOf(problem);
  const usual = (problem.ties ?? []).map(usualShape);
  const unary = [
    ...problem.own.map((costs, variable) => costs.map((cost) => cost * (times[variable] as number))),
    ...usual.map(({ shapes }) => shapes.map(() => 0)),
  ];
  const pairs = [
    ...pairFactors(problem),
    ...usual.flatMap(({ factorsFrom }, index) => factorsFrom(problem.own.length + index)),
  ];
  const candidates = undominated(unary, pairs);
  const sizes = candidates.map((list) => list.length);
  const factors: Factor[] = [
    ...unary.map((costs, variable) => ({
      variables: [variable],
      table: Float64Array.from(candidates[variable] as number[], (candidate) => costs[candidate] as number),
    })),
    ...pairs.map((pair) => shrunk(pair, candidates, unary)),
  ];
  const choice = solve(factors, sizes);
  return problem.own.map(
    (_, variable) => (candidates[variable] as number[])[choice.get(variable) as number] as number,
  );
}

/**
 * The usual shape of a tie as a variable of its own: the shapes it can be, and what each variable of the tie pays
 * for each of them.
 */
function usualShape(tie: Tie): { shapes: number[]; factorsFrom: (hub: number) => Factor[] } {
  const shapes = [...new Set(tie.shapes.flat())];
  return {
    shapes,
    factorsFrom: (hub) =>
      tie.variables.map((variable, place) => ({
        variables: [variable, hub],
        table: Float64Array.from(
          (tie.shapes[place] as readonly number[]).flatMap((shape) =>
            shapes.map((usual) => (shape === usual ? 0 : (tie.prices[place] as number))),
          ),
        ),
      })),
  };
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
    const costs = problem.steps(from, to);
    for (let row = 0, entry = 0; row < rows; row += 1) {
      for (let column = 0; column < columns; column += 1, entry += 1) {
        const cost = costs[from < to ? entry : column * rows + row] as number;
        factor.table[entry] = (factor.table[entry] as number) + times * cost;
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
  const candidates = unary.map((costs) => costs.map((_, candidate) => candidate));
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
          for (const other of candidates[neighbour] as number[])
            worst = Math.min(worst, cost(pair, variable, than, other) - cost(pair, variable, one, other));
          least += worst;
        }
        return least > 0 || (least === 0 && one < than);
      };
      const list = candidates[variable] as number[];
      const left = list.filter(
        (candidate) => !list.some((one) => one !== candidate && neverDearer(one, candidate)),
      );
      if (left.length > 0 && left.length < list.length) {
        candidates[variable] = left;
        changed = true;
      }
    }
  }
  return candidates;
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

/** A candidate for each variable, by elimination and, for what is entangled too much, by branch and bound. */
function solve(factors: readonly Factor[], sizes: readonly number[]): Map<number, number> {
  const left = new Set(sizes.keys());
  const eliminated: Eliminated[] = [];
  let pool = [...factors];
  const takeOut = (variable: number): void => {
    const made = eliminate(variable, pool, sizes);
    pool = made.factors;
    eliminated.push(made.eliminated);
    left.delete(variable);
  };
  // Those that meet two others at most leave only pairs behind: always worth it.
  for (
    let next = cheapest(left, pool, sizes);
    next && next.scope.length <= 2;
    next = cheapest(left, pool, sizes)
  )
    takeOut(next.variable);
  if (isWithinBudget(left, pool, sizes)) {
    for (let next = cheapest(left, pool, sizes); next; next = cheapest(left, pool, sizes))
      takeOut(next.variable);
    return chooseBack(eliminated, new Map(), sizes);
  }
  const core = [...left].sort((one, other) => one - other);
  const chosen = solveBounded(networkOf(core, pool, sizes));
  return chooseBack(
    eliminated,
    new Map(core.map((variable, index) => [variable, chosen[index] as number])),
    sizes,
  );
}

/** The variable that meets few others, and among those the one whose elimination makes the smallest table. */
function cheapest(
  left: ReadonlySet<number>,
  pool: readonly Factor[],
  sizes: readonly number[],
): { variable: number; scope: number[]; entries: number } | null {
  let best: { variable: number; scope: number[]; entries: number } | null = null;
  for (const variable of left) {
    const scope = scopeOf(variable, pool);
    const entries = scope.reduce(
      (product, one) => product * (sizes[one] as number),
      sizes[variable] as number,
    );
    const few = scope.length <= 2;
    const fewest = best !== null && best.scope.length <= 2;
    if (best === null || (few && !fewest) || (few === fewest && entries < best.entries))
      best = { variable, scope, entries };
  }
  return best;
}

/** Whether eliminating all that is left stays within the budget: the order is tried without working any table. */
function isWithinBudget(
  left: ReadonlySet<number>,
  pool: readonly Factor[],
  sizes: readonly number[],
): boolean {
  const rest = new Set(left);
  let scopes: Factor[] = pool.map(({ variables }) => ({ variables, table: new Float64Array(0) }));
  let entries = 0;
  for (let next = cheapest(rest, scopes, sizes); next; next = cheapest(rest, scopes, sizes)) {
    const { variable, scope } = next;
    entries += next.entries;
    if (entries > entryBudget) return false;
    scopes = [
      ...scopes.filter((factor) => !factor.variables.includes(variable)),
      { variables: scope, table: new Float64Array(0) },
    ];
    rest.delete(variable);
  }
  return true;
}

/** A pool of factors over one or two variables each, as a network of those that are left. */
function networkOf(core: readonly number[], pool: readonly Factor[], sizes: readonly number[]): PairNetwork {
  const place = new Map(core.map((variable, index) => [variable, index]));
  const unary = core.map((variable) => new Float64Array(sizes[variable] as number));
  const pairs = new Map<string, Edge>();
  for (const { variables, table } of pool) {
    const [first, second] = variables.map((variable) => place.get(variable) as number);
    if (first === undefined) continue;
    if (second === undefined) {
      unary[first] = (unary[first] as Float64Array).map((cost, entry) => cost + (table[entry] as number));
      continue;
    }
    const key = `${first} ${second}`;
    const known = pairs.get(key)?.table;
    const sum = known ? known.map((cost, entry) => cost + (table[entry] as number)) : table.slice();
    pairs.set(key, { first, second, table: sum });
  }
  return { unary, pairs: [...pairs.values()] };
}
