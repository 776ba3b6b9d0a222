import { type Choice, type CostTable, forbidden, type RingProblem, ringSteps, totalCost } from './problem.js';

/**
 * The choice whose dearest single step is as cheap as can be, and among those the one of least total cost: the
 * least bound is found by halving, then dearer steps are forbidden and the sum is minimised.
 */
export function solveHardest(problem: RingProblem, solve: (problem: RingProblem) => Choice): Choice {
  const costs = stepCosts(problem);
  let low = 0;
  let high = costs.length - 1;
  if (high < 0) return solve(problem);
  while (low < high) {
    const middle = (low + high) >> 1;
    const bounded = below(problem, costs[middle] as number);
    if (totalCost(bounded, solve(bounded)) < forbidden) high = middle;
    else low = middle + 1;
  }
  return solve(below(problem, costs[low] as number));
}

/** The same problem with every step dearer than a bound forbidden. */
function below(problem: RingProblem, bound: number): RingProblem {
  const known = new Map<CostTable, CostTable>();
  return {
    ...problem,
    steps: (from, to) => {
      const table = problem.steps(from, to);
      const bounded = known.get(table) ?? table.map((cost) => (cost > bound ? forbidden : cost));
      known.set(table, bounded);
      return bounded;
    },
  };
}

/** All costs a single step can have, ascending. */
function stepCosts(problem: RingProblem): number[] {
  const tables = new Set(ringSteps(problem.ring).map(({ from, to }) => problem.steps(from, to)));
  const costs = new Set<number>();
  for (const table of tables) for (const cost of table) costs.add(cost);
  return [...costs].sort((one, other) => one - other);
}
