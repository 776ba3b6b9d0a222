/**
 * A choice to be made at the least cost: each variable takes one of its candidates, and the variables follow each
 * other round a ring. All costs are whole numbers, so that sums are exact and ties are ties.
 */
export interface RingProblem {
  /** For each variable, what each of its candidates costs for each time it comes. */
  readonly own: readonly (readonly number[])[];
  /** The variables in the order in which they come; behind the last comes the first. */
  readonly ring: readonly number[];
  /** What going from a candidate of one variable to a candidate of another costs. Not asked for a variable and itself. */
  readonly between: (from: number, candidate: number, to: number, next: number) => number;
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

/** What a choice costs as a whole. */
export function totalCost(problem: RingProblem, choice: Choice): number {
  const own = problem.ring.reduce(
    (sum, variable) => sum + (problem.own[variable]?.[choice[variable] as number] as number),
    0,
  );
  return ringSteps(problem.ring).reduce(
    (sum, { from, to, times }) =>
      sum + times * problem.between(from, choice[from] as number, to, choice[to] as number),
    own,
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
