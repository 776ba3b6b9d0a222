import type { Candidate } from './candidate.js';
import type { Fingering } from './fingering.js';
import type { PlanTables } from './plan-tables.js';
import { type RingProblem, ringSteps, type Tie, tieCost, timesOf } from './solve/problem.js';

/** Another way to play a chord, and how much more the pass would cost with it, all else being the same. */
export interface Alternative {
  readonly fingering: Fingering;
  readonly moreMs: number;
}

/** Alternatives that are kept of each chord. */
const mostAlternatives = 6;

/**
 * For each variable, how much more each other way would cost, all else being the same; best first. Ways that are
 * only offered are included here. In a tie, a shape's number is its place in the variable's list. Variables that stand in
 * the same place among the same have the same list.
 */
export function alternativesOf(
  problem: RingProblem,
  chosen: readonly Candidate[],
  lists: readonly (readonly Candidate[])[],
  tables: PlanTables,
): readonly (readonly Alternative[])[] {
  const times = timesOf(problem);
  const around: Neighbour[][] = lists.map(() => []);
  for (const { from, to, times: often } of ringSteps(problem.ring)) {
    around[from]?.push({ next: true, candidate: chosen[to] as Candidate, often });
    around[to]?.push({ next: false, candidate: chosen[from] as Candidate, often });
  }
  const leaving = leavingOf(problem.ties ?? [], chosen, lists);
  const ids = new Map<unknown, number>();
  const id = (value: unknown): number => {
    const known = ids.get(value) ?? ids.size;
    ids.set(value, known);
    return known;
  };
  const worked = new Map<string, readonly Alternative[]>();
  return lists.map((list, variable) => {
    const here = chosen[variable] as Candidate;
    const often = times[variable] as number;
    const neighbours = around[variable] as Neighbour[];
    const extra = leaving.get(variable);
    const alike = [id(list), id(here), often, id(extra)]
      .concat(neighbours.flatMap((one) => [one.next ? 1 : 0, id(one.candidate), one.often]))
      .join(' ');
    const known =
      worked.get(alike) ?? ranked(list, here, moreThan(list, here, often, neighbours, tables), extra);
    worked.set(alike, known);
    return known;
  });
}

/** A chord that comes next to a variable's, as it is played, and how often it does. */
interface Neighbour {
  readonly next: boolean;
  readonly candidate: Candidate;
  readonly often: number;
}

/** What each of a variable's candidates costs more than the chosen one, by itself and by its steps. */
function moreThan(
  list: readonly Candidate[],
  here: Candidate,
  times: number,
  neighbours: readonly Neighbour[],
  tables: PlanTables,
): number[] {
  const place = list.indexOf(here);
  const more = list.map((one) => times * (one.own - here.own));
  for (const { next, candidate, often } of neighbours) {
    const costs = next
      ? tables.steps(list, tables.alone(candidate))
      : tables.steps(tables.alone(candidate), list);
    const base = costs[place] as number;
    costs.forEach((cost, one) => {
      more[one] = (more[one] as number) + often * (cost - base);
    });
  }
  return more;
}

/** For each variable of a tie, what each of its candidates costs more by leaving the usual shape, or less. */
function leavingOf(
  ties: readonly Tie[],
  chosen: readonly Candidate[],
  lists: readonly (readonly Candidate[])[],
): ReadonlyMap<number, readonly number[]> {
  const found = new Map<number, readonly number[]>();
  for (const { variables, prices } of ties) {
    const shapes = variables.map((variable) =>
      (lists[variable] as readonly Candidate[]).indexOf(chosen[variable] as Candidate),
    );
    const base = tieCost(prices, shapes);
    variables.forEach((variable, place) => {
      found.set(
        variable,
        (lists[variable] as readonly Candidate[]).map(
          (_, candidate) => tieCost(prices, shapes.with(place, candidate)) - base,
        ),
      );
    });
  }
  return found;
}

function ranked(
  list: readonly Candidate[],
  here: Candidate,
  more: readonly number[],
  extra: readonly number[] | undefined,
): readonly Alternative[] {
  return list
    .map((one, candidate) => ({
      one,
      candidate,
      moreMs: (more[candidate] as number) + (extra?.[candidate] ?? 0),
    }))
    .filter(({ one }) => one !== here)
    .sort((one, other) => one.moreMs - other.moreMs || one.candidate - other.candidate)
    .slice(0, mostAlternatives)
    .map(({ one: { fingering }, moreMs }) => ({ fingering, moreMs }));
}
