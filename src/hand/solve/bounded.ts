import { cheapest, type Edge, type MessageState, Messages, stateOf } from './messages.js';
import type { CostTable } from './problem.js';

/**
 * Costs of candidates by themselves and in pairs. Each pair of variables that meet stands once, the lower variable
 * first, with a row for each candidate of the first and a column for each of the second.
 */
export interface PairNetwork {
  readonly unary: readonly Float64Array[];
  readonly pairs: readonly Edge[];
}

/** Sweeps of the bound over a whole network, and over one in which some variable has been fixed. */
const firstSweeps = 100;
const laterSweeps = 8;
/** The bound is swept on while a sweep closes this share of the gap to the best choice that is known. */
const worthwhile = 0.01;
/** Candidates are swept again before a branch when at least this share of them was struck out. */
const sweptAgain = 0.2;
/** Costs are whole numbers and bounds are not: a bound this little above a whole number counts as that number. */
const rounding = 1e-3;

/**
 * The choice of least cost where many variables all meet each other, by branch and bound. The bound comes from passing
 * messages along the pairs (`messages.ts`); candidates that cannot belong to anything better than what is known are
 * struck out. Exact for whole-numbered costs; of equal choices always the same one.
 */
export function solveBounded(network: PairNetwork): number[] {
  // What is forbidden need only be dearer than everything that is allowed: far larger numbers would lose the small ones.
  const capped = withCap(network);
  const search = new Search(capped);
  search.run(stateOf(capped.unary, capped.pairs), firstSweeps);
  return search.best;
}

const farAbove = 1e11;

function withCap(network: PairNetwork): PairNetwork {
  const most = (table: CostTable): number =>
    table.reduce((high, cost) => (cost < farAbove && cost > high ? cost : high), 0);
  const cap =
    1 +
    network.unary.reduce((sum, costs) => sum + most(costs), 0) +
    network.pairs.reduce((sum, { table }) => sum + most(table), 0);
  const low = (table: CostTable): CostTable => table.map((cost) => (cost < farAbove ? cost : cap));
  return {
    unary: network.unary.map(low),
    pairs: network.pairs.map((pair) => ({ ...pair, table: low(pair.table) })),
  };
}

class Search {
  best: number[] = [];
  private least = Number.POSITIVE_INFINITY;
  private readonly messages: Messages;

  constructor(private readonly whole: PairNetwork) {
    this.messages = new Messages(whole.unary.length, whole.pairs);
  }

  /** Looks for something better than the best so far among what is left. */
  run(begun: MessageState, sweeps: number): void {
    let state = begun;
    let excess: readonly Float64Array[];
    let before: number;
    let bound: number;
    do {
      bound = this.swept(state, sweeps);
      const room = this.least - 1 + rounding - bound;
      excess = this.messages.forward(state, null);
      const keep = excess.map((costs) => Array.from(costs, (cost) => cost <= room));
      if (keep.some((list) => !list.includes(true))) return;
      before = candidatesIn(state);
      state = this.messages.keepOnly(state, keep);
      excess = excess.map((costs, variable) => costs.filter((_, candidate) => keep[variable]?.[candidate]));
    } while (candidatesIn(state) < before * (1 - sweptAgain));
    const variable = widest(excess);
    if (variable < 0) {
      this.note(state.left.map((list) => list[0] as number));
      return;
    }
    const costs = excess[variable] as Float64Array;
    const order = Array.from(costs.keys()).sort(
      (one, other) => (costs[one] as number) - (costs[other] as number) || one - other,
    );
    for (const candidate of order) {
      // A better choice may have been found since.
      if ((costs[candidate] as number) > this.least - 1 + rounding - bound) return;
      const only = state.left.map((list, one) =>
        list.map((_, index) => one !== variable || index === candidate),
      );
      this.run(this.messages.keepOnly(state, only), laterSweeps);
    }
  }

  /** Passes messages there and back while that is worth while; what no choice in the state costs less than. */
  private swept(state: MessageState, sweeps: number): number {
    let bound = Number.NEGATIVE_INFINITY;
    let tried = '';
    for (let sweep = 0; sweep < sweeps; sweep += 1) {
      const choice = state.left.map(() => 0);
      this.messages.forward(state, choice);
      const name = choice.join(' ');
      if (name !== tried)
        this.note(this.bettered(choice.map((index, variable) => state.left[variable]?.[index] as number)));
      tried = name;
      const before = bound;
      bound = Math.max(bound, this.messages.backward(state));
      const room = this.least - 1 + rounding - bound;
      if (room < 0 || (sweep > 1 && bound - before < worthwhile * room)) break;
    }
    return bound;
  }

  /** A choice with one candidate after the other changed for the cheapest, as long as that helps. */
  private bettered(choice: number[]): number[] {
    for (let better = true; better; ) {
      better = false;
      for (const variable of choice.keys()) {
        const costs = this.messages.costsBeside(this.whole.unary, variable, choice);
        const low = cheapest(costs);
        if ((costs[low] as number) < (costs[choice[variable] as number] as number)) {
          choice[variable] = low;
          better = true;
        }
      }
    }
    return choice;
  }

  private note(choice: readonly number[]): void {
    const cost = costOf(this.whole, choice);
    if (cost >= this.least) return;
    this.least = cost;
    this.best = [...choice];
  }
}

function candidatesIn({ left }: MessageState): number {
  return left.reduce((sum, list) => sum + list.length, 0);
}

/** The network's own costs of a choice. */
function costOf({ unary, pairs }: PairNetwork, choice: readonly number[]): number {
  const alone = unary.reduce(
    (sum, costs, variable) => sum + (costs[choice[variable] as number] as number),
    0,
  );
  return pairs.reduce((sum, { first, second, table }) => {
    const columns = (unary[second] as Float64Array).length;
    return sum + (table[(choice[first] as number) * columns + (choice[second] as number)] as number);
  }, alone);
}

/** The variable to branch on: that with the most to lose by its second best; −1 when all are settled. */
function widest(excess: readonly Float64Array[]): number {
  let best = -1;
  let most = -1;
  excess.forEach((costs, variable) => {
    if (costs.length < 2) return;
    const [first, second] = [...costs].sort((one, other) => one - other) as [number, number];
    // Few candidates and a clear favourite first: wrong branches then end early.
    const worth = (second - first + 1) / costs.length;
    if (worth > most) {
      most = worth;
      best = variable;
    }
  });
  return best;
}
