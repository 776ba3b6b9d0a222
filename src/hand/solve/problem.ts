/**
 * A choice to be made at the least cost: each variable takes one of its candidates, and the variables follow each
 * other round a ring. All costs are whole numbers, so that sums are exact and ties are ties.
 */
export interface RingProblem {
  /** For each variable, what each of its candidates costs for each time it comes. */
  readonly own: readonly (readonly number[])[];
  /** The variables in the order in which they come; behind the last comes the first. */
  readonly ring: readonly number[];
  /**
   * Variables of one kind have the same candidates at the same costs, so that the costs between two kinds are worked
   * out once; every variable is of its own kind when absent.
   */
  readonly kinds?: readonly number[];
  /** What going from a candidate of one variable to a candidate of another costs. Not asked for a variable and itself. */
  readonly between: (from: number, candidate: number, to: number, next: number) => number;
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

/** The steps of a ring from one variable to another, each pair once with how often it comes. */
export function ringSteps(
  ring: readonly number[],
): readonly { readonly from: number; readonly to: number; readonly times: number }[] {
  const counts = new Map<string, { from: number; to: number; times: number }>();
  ring.forEach((from, index) => {
    const to = ring[(index + 1) % ring.length] as number;
    if (from === to) return;
    const key = `${from} ${to}`;
    const known = counts.get(key);
    if (known) known.times += 1;
    else counts.set(key, { from, to, times: 1 });
  });
  return [...counts.values()];
}

/** A table of costs: that of row r and column c at r · columns + c. */
export type CostTable = Float64Array;

/** The costs from the candidates of one variable (rows) to those of another (columns), kept by kind. */
export class StepTables {
  private readonly known = new Map<number, CostTable>();

  constructor(private readonly problem: RingProblem) {}

  of(from: number, to: number): CostTable {
    const { kinds, own } = this.problem;
    const key = (kinds?.[from] ?? from) * own.length + (kinds?.[to] ?? to);
    const table = this.known.get(key) ?? this.worked(from, to);
    this.known.set(key, table);
    return table;
  }

  private worked(from: number, to: number): CostTable {
    const rows = (this.problem.own[from] as readonly number[]).length;
    const columns = (this.problem.own[to] as readonly number[]).length;
    const table = new Float64Array(rows * columns);
    for (let row = 0; row < rows; row += 1) {
      for (let column = 0; column < columns; column += 1)
        table[row * columns + column] = this.problem.between(from, row, to, column);
    }
    return table;
  }
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
    (sum, { from, to, times }) =>
      sum + times * problem.between(from, choice[from] as number, to, choice[to] as number),
    leaving + holdingCost,
  );
}

/** What the dearest single step of a choice costs; 0 when there is none. */
export function hardestStep(problem: RingProblem, choice: Choice): number {
  return ringSteps(problem.ring).reduce(
    (most, { from, to }) =>
      Math.max(most, problem.between(from, choice[from] as number, to, choice[to] as number)),
    0,
  );
}
