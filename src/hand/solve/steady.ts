import { type PairNetwork, solveBounded } from './bounded.js';
import { undominated } from './dominance.js';
import { chooseBack, type Eliminated, eliminate, type Factor } from './eliminate.js';
import { EliminationOrder } from './elimination-order.js';
import { type Edge, selectedPairs } from './messages.js';
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

/** A pair's table with only the candidates that were kept. */
function shrunk(pair: Factor, kept: readonly number[][], unary: readonly (readonly number[])[]): Factor {
  const [first, second] = pair.variables as [number, number];
  const columns = (unary[second] as readonly number[]).length;
  const table = selectedPairs(pair.table, columns, kept[first] as number[], kept[second] as number[]);
  return { variables: pair.variables, table };
}

/** A candidate for each variable, by elimination and, for what is entangled too much, by branch and bound. */
function solve(factors: readonly Factor[], sizes: readonly number[]): Map<number, number> {
  const order = new EliminationOrder(factors, sizes);
  const eliminated: Eliminated[] = [];
  let pool = [...factors];
  const takeOut = (variable: number): void => {
    const made = eliminate(variable, pool, sizes);
    pool = made.factors;
    eliminated.push(made.eliminated);
    order.takeOut(variable);
  };
  // Those that meet two others at most leave only pairs behind: always worth it.
  for (let next = order.next(); next && next.meets <= 2; next = order.next()) takeOut(next.variable);
  if (order.entries(entryBudget) <= entryBudget) {
    for (let next = order.next(); next; next = order.next()) takeOut(next.variable);
    return chooseBack(eliminated, new Map(), sizes);
  }
  const core = order.left();
  const chosen = solveBounded(networkOf(core, pool, sizes));
  return chooseBack(
    eliminated,
    new Map(core.map((variable, index) => [variable, chosen[index] as number])),
    sizes,
  );
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
