/**
 * A choice to be made at the least cost: each variable takes one of its candidates, and the variables follow each
 * other round a ring. All costs are whole numbers, so that sums are exact and ties are ties.
 */
export interface RingProblem {
  /** For each variable, what each of its candidates costs for each time it comes. */
  readonly own: readonly (readonly number[])[];
  /** The variables in the order in which they come; after the last comes the first. */
  readonly ring: readonly number[];
  /**
   * What going from one variable to another costs, by their candidates. Not asked for a variable and itself; pairs
   * that cost the same may share a table.
   */
  readonly steps: (from: number, to: number) => CostTable;
  /** Variables that should agree; none when absent. Where every variable comes once (`solveFree`) they count nothing. */
  readonly ties?: readonly Tie[];
}

/**
 * Variables that should all take the same shape. One shape of the tie is the usual one, whichever makes the whole
 * cheapest; each variable that takes another pays its price.
 */
export interface Tie {
  readonly variables: readonly number[];
  /** For each of these variables what it pays where it takes another shape than the usual one: a whole number, once for the whole ring. */
  readonly prices: readonly number[];
  /** For each of these variables the shape of each of its candidates, a number from 0; equal numbers are the same shape. */
  readonly shapes: readonly (readonly number[])[];
}

/** What a tie costs where its variables take these shapes: all pay but those with the shape that spares the most. */
export function tieCost(prices: readonly number[], shapes: readonly number[]): number {
  const spared = new Map<number, number>();
  let [sum, most] = [0, 0];
  for (const [place, shape] of shapes.entries()) {
    const price = prices[place] as number;
    sum += price;
    const together = (spared.get(shape) ?? 0) + price;
    spared.set(shape, together);
    most = Math.max(most, together);
  }
  return sum - most;
}

/** A candidate for each variable, by its index. */
export type Choice = readonly number[];

/** More than any sum of real costs: marks what is forbidden. */
export const forbidden = 1e12;

/** A table of costs: that of row r and column c at r · columns + c. */
export type CostTable = Float64Array;

/** The steps of a ring from one variable to another, each pair once with how often it comes. */
export function ringSteps(
  ring: readonly number[],
): readonly { readonly from: number; readonly to: number; readonly times: number }[] {
  const beyond = ring.reduce((most, variable) => Math.max(most, variable), 0) + 1;
  const counts = new Map<number, { from: number; to: number; times: number }>();
  ring.forEach((from, index) => {
    const to = ring[(index + 1) % ring.length] as number;
    if (from === to) return;
    const known = counts.get(from * beyond + to);
    if (known) known.times += 1;
    else counts.set(from * beyond + to, { from, to, times: 1 });
  });
  return [...counts.values()];
}

/** How often each variable comes in the ring. */
export function timesOf(problem: RingProblem): readonly number[] {
  const times = problem.own.map(() => 0);
  for (const variable of problem.ring) times[variable] = (times[variable] as number) + 1;
  return times;
}

/** What a choice costs as a whole, ties included. */
export function totalCost(problem: RingProblem, choice: Choice): number {
  const leaving = (problem.ties ?? []).reduce(
    (sum, { variables, prices, shapes }) =>
      sum +
      tieCost(
        prices,
        variables.map((variable, place) => shapes[place]?.[choice[variable] as number] as number),
      ),
    0,
  );
  const holdingCost = problem.ring.reduce(
    (sum, variable) => sum + (problem.own[variable]?.[choice[variable] as number] as number),
    0,
  );
  return ringSteps(problem.ring).reduce(
    (sum, { from, to, times }) => sum + times * stepCost(problem, choice, from, to),
    leaving + holdingCost,
  );
}

/** What the dearest single step of a choice costs; 0 when there is none. */
export function hardestStep(problem: RingProblem, choice: Choice): number {
  return ringSteps(problem.ring).reduce(
    (most, { from, to }) => Math.max(most, stepCost(problem, choice, from, to)),
    0,
  );
}

function stepCost({ own, steps }: RingProblem, choice: Choice, from: number, to: number): number {
  const columns = (own[to] as readonly number[]).length;
  return steps(from, to)[(choice[from] as number) * columns + (choice[to] as number)] as number;
}
