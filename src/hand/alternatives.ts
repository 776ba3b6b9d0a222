import type { Candidate } from './candidates.js';
import type { Fingering } from './fingering.js';
import type { PlanTables } from './plan-tables.js';
import { type RingProblem, ringSteps, tieCost, timesOf } from './solve/problem.js';

/** Another way to play a chord, and what the pass would cost more by it, all else staying as it is. */
export interface Alternative {
  readonly fingering: Fingering;
  readonly moreMs: number;
}

/** Alternatives that are kept of each chord. */
const mostAlternatives = 6;

/**
 * For each variable, what each other way would cost more, everything else staying; best first. Ways that are only
 * offered come into it here. In a tie, a shape's number is its place in the variable's list.
 */
export function alternativesOf(
  problem: RingProblem,
  chosen: readonly Candidate[],
  lists: readonly (readonly Candidate[])[],
  tables: PlanTables,
): Alternative[][] {
  const times = timesOf(problem);
  const more = lists.map((list, variable) =>
    list.map((one) => (times[variable] as number) * (one.own - (chosen[variable] as Candidate).own)),
  );
  for (const { from, to, times: often } of ringSteps(problem.ring)) {
    const [before, after] = [chosen[from] as Candidate, chosen[to] as Candidate];
    const base = tables.cost(before, after);
    const add = (variable: number, candidate: number, cost: number): void => {
      const row = more[variable] as number[];
      row[candidate] = (row[candidate] as number) + often * (cost - base);
    };
    lists[from]?.forEach((other, candidate) => {
      add(from, candidate, tables.cost(other, after));
    });
    lists[to]?.forEach((other, candidate) => {
      add(to, candidate, tables.cost(before, other));
    });
  }
  for (const { variables, prices } of problem.ties ?? []) {
    const shapes = variables.map((variable) =>
      (lists[variable] as readonly Candidate[]).indexOf(chosen[variable] as Candidate),
    );
    const base = tieCost(prices, shapes);
    variables.forEach((variable, place) => {
      const row = more[variable] as number[];
      row.forEach((sum, candidate) => {
        row[candidate] = sum + tieCost(prices, shapes.with(place, candidate)) - base;
      });
    });
  }
  return lists.map((list, variable) =>
    list
      .map(({ fingering }, candidate) => ({
        fingering,
        candidate,
        moreMs: more[variable]?.[candidate] as number,
      }))
      .filter(({ candidate }) => list[candidate] !== chosen[variable])
      .sort((one, other) => one.moreMs - other.moreMs || one.candidate - other.candidate)
      .slice(0, mostAlternatives)
      .map(({ fingering, moreMs }) => ({ fingering, moreMs })),
  );
}
