/**
 * Costs of candidates by themselves and in pairs. `pairs[i][j]`, for i < j, has a row for each candidate of i and a
 * column for each of j; `null` where the two never meet.
 */
export interface PairNetwork {
  readonly unary: readonly Float64Array[];
  readonly pairs: readonly (readonly (Float64Array | null)[])[];
}

/** Sweeps of the bound over a whole network, and over one in which some variable has been fixed. */
const firstSweeps = 40;
const laterSweeps = 6;
/** Costs are whole numbers and bounds are not: a bound this little above a whole number counts as that number. */
const rounding = 1e-3;

/**
 * The choice of least cost where many variables all meet each other, by branch and bound. The bound comes from moving
 * costs between pairs and candidates until the sum of all least ones grows no more (sequential reweighted message
 * passing, Kolmogorov 2006, from memory); candidates that cannot belong to anything better than what is known are
 * struck out. Exact for whole-numbered costs; of equal choices always the same one.
 */
export function solveBounded(network: PairNetwork): number[] {
  // What is forbidden need only be dearer than everything that is allowed: far larger numbers would lose the small ones.
  const capped = withCap(network);
  const search = new Search(capped);
  search.run(stateOf(capped), firstSweeps);
  return search.best;
}

/** The network's own costs of a choice. */
function costOf({ unary, pairs }: PairNetwork, choice: readonly number[]): number {
  let cost = 0;
  for (let one = 0; one < unary.length; one += 1) {
    cost += (unary[one] as Float64Array)[choice[one] as number] as number;
    for (let other = one + 1; other < unary.length; other += 1) {
      const table = pairs[one]?.[other];
      if (table)
        cost += table[
          (choice[one] as number) * (unary[other] as Float64Array).length + (choice[other] as number)
        ] as number;
    }
  }
  return cost;
}

const farAbove = 1e11;

function withCap(network: PairNetwork): PairNetwork {
  const most = (table: Float64Array | null): number =>
    table?.reduce((high, cost) => (cost < farAbove && cost > high ? cost : high), 0) ?? 0;
  const cap =
    1 +
    network.unary.reduce((sum, costs) => sum + most(costs), 0) +
    network.pairs.reduce((sum, row) => sum + row.reduce((part, table) => part + most(table), 0), 0);
  const low = (table: Float64Array): Float64Array => table.map((cost) => (cost < farAbove ? cost : cap));
  return {
    unary: network.unary.map(low),
    pairs: network.pairs.map((row) => row.map((table) => table && low(table))),
  };
}

/** What is left of a network: which of its candidates, and its costs as they have been moved about. */
interface State {
  /** For each variable the candidates left, by their index in the whole network. */
  readonly left: readonly (readonly number[])[];
  readonly unary: readonly Float64Array[];
  readonly pairs: readonly (readonly (Float64Array | null)[])[];
}

function stateOf({ unary, pairs }: PairNetwork): State {
  return {
    left: unary.map((costs) => Array.from(costs, (_, candidate) => candidate)),
    unary: unary.map((costs) => costs.slice()),
    pairs: pairs.map((row) => row.map((table) => table?.slice() ?? null)),
  };
}

class Search {
  best: number[] = [];
  private least = Number.POSITIVE_INFINITY;

  constructor(private readonly whole: PairNetwork) {}

  /** Looks for something better than the best so far among what is left. Changes the state it is given. */
  run(state: State, sweeps: number): void {
    let now: State | null = state;
    let bound = 0;
    for (let sweep = 0; sweep < sweeps; sweep += 1) {
      const before = bound;
      bound = raiseBound(now.unary, now.pairs);
      this.try(now);
      if (bound > this.least - 1 + rounding) return;
      if (sweep > 1 && bound - before < 0.5) break;
    }
    now = struckOut(now, this.least - bound);
    if (!now) return;
    const variable = widest(now);
    if (variable < 0) {
      this.note(now.left.map((list) => list[0] as number));
      return;
    }
    const costs = now.unary[variable] as Float64Array;
    const order = Array.from(costs, (_, candidate) => candidate).sort(
      (one, other) => (costs[one] as number) - (costs[other] as number) || one - other,
    );
    for (const candidate of order) {
      const only = now.left.map((list, one) =>
        list.map((_, index) => one !== variable || index === candidate),
      );
      this.run(keepOnly(now, only), laterSweeps);
    }
  }

  /** Takes the cheapest candidate of each variable and betters one at a time while that helps. */
  private try({ left, unary }: State): void {
    const choice = unary.map((costs, variable) => {
      let low = 0;
      costs.forEach((cost, candidate) => {
        if (cost < (costs[low] as number)) low = candidate;
      });
      return left[variable]?.[low] as number;
    });
    let cost = costOf(this.whole, choice);
    for (let better = true; better; ) {
      better = false;
      for (const [variable, list] of left.entries()) {
        for (const candidate of list) {
          const was = choice[variable] as number;
          if (candidate === was) continue;
          choice[variable] = candidate;
          const changed = costOf(this.whole, choice);
          if (changed < cost) {
            cost = changed;
            better = true;
          } else choice[variable] = was;
        }
      }
    }
    this.note(choice);
  }

  private note(choice: readonly number[]): void {
    const cost = costOf(this.whole, choice);
    if (cost >= this.least) return;
    this.least = cost;
    this.best = [...choice];
  }
}

/**
 * One sweep there and back: each variable gathers what its pairs can spare and hands it on to those before it in
 * the sweep's way. Gives the bound: the sum of all least costs.
 */
function raiseBound(unary: State['unary'], pairs: State['pairs']): number {
  const count = unary.length;
  const visit = (variable: number, forward: boolean): void => {
    const costs = unary[variable] as Float64Array;
    const ahead: number[] = [];
    let behind = 0;
    for (let other = 0; other < count; other += 1) {
      if (other === variable || !tableOf(pairs, variable, other)) continue;
      gather(costs, pairs, unary, variable, other);
      if (other > variable === forward) ahead.push(other);
      else behind += 1;
    }
    const share = 1 / Math.max(1, ahead.length, behind);
    for (const other of ahead) handOn(costs, pairs, unary, variable, other, share);
    if (ahead.length > 0) {
      const remaining = 1 - share * ahead.length;
      for (let candidate = 0; candidate < costs.length; candidate += 1)
        costs[candidate] = (costs[candidate] as number) * remaining;
    }
  };
  for (let variable = 0; variable < count; variable += 1) visit(variable, true);
  for (let variable = count - 1; variable >= 0; variable -= 1) visit(variable, false);
  // All that is left in the pairs is gathered once more, so that it counts.
  for (let variable = 0; variable < count; variable += 1) {
    for (let other = 0; other < count; other += 1) {
      if (other !== variable && tableOf(pairs, variable, other))
        gather(unary[variable] as Float64Array, pairs, unary, variable, other);
    }
  }
  return unary.reduce((sum, costs) => sum + least(costs), 0);
}

function least(costs: Float64Array): number {
  let low = Number.POSITIVE_INFINITY;
  for (const cost of costs) if (cost < low) low = cost;
  return low;
}

function tableOf(pairs: State['pairs'], one: number, other: number): Float64Array | null {
  return (one < other ? pairs[one]?.[other] : pairs[other]?.[one]) ?? null;
}

/** Moves the least cost of each candidate's row from the pair to the candidate. */
function gather(
  costs: Float64Array,
  pairs: State['pairs'],
  unary: State['unary'],
  variable: number,
  other: number,
): void {
  const table = tableOf(pairs, variable, other) as Float64Array;
  const across = (unary[other] as Float64Array).length;
  const [row, column] = variable < other ? [across, 1] : [1, costs.length];
  for (let candidate = 0; candidate < costs.length; candidate += 1) {
    let low = Number.POSITIVE_INFINITY;
    for (let at = 0, entry = candidate * row; at < across; at += 1, entry += column)
      if ((table[entry] as number) < low) low = table[entry] as number;
    if (low === 0) continue;
    costs[candidate] = (costs[candidate] as number) + low;
    for (let at = 0, entry = candidate * row; at < across; at += 1, entry += column)
      table[entry] = (table[entry] as number) - low;
  }
}

/** Moves a share of each candidate's cost into a pair. The candidate's own is lowered by the caller, once for all. */
function handOn(
  costs: Float64Array,
  pairs: State['pairs'],
  unary: State['unary'],
  variable: number,
  other: number,
  share: number,
): void {
  const table = tableOf(pairs, variable, other) as Float64Array;
  const across = (unary[other] as Float64Array).length;
  const [row, column] = variable < other ? [across, 1] : [1, costs.length];
  for (let candidate = 0; candidate < costs.length; candidate += 1) {
    const part = share * (costs[candidate] as number);
    for (let at = 0, entry = candidate * row; at < across; at += 1, entry += column)
      table[entry] = (table[entry] as number) + part;
  }
}

/** What is left when candidates that would cost at least all the room there is go; `null` when nothing is. */
function struckOut(state: State, room: number): State | null {
  const keep = state.unary.map((costs) => {
    const low = least(costs);
    return Array.from(costs, (cost) => cost - low <= room - 1 + rounding);
  });
  if (keep.some((list) => !list.includes(true))) return null;
  return keepOnly(state, keep);
}

/** A copy of a state with only some of its candidates. */
function keepOnly(state: State, keep: readonly (readonly boolean[])[]): State {
  const indexes = keep.map((list) => list.flatMap((kept, candidate) => (kept ? [candidate] : [])));
  return {
    left: indexes.map((list, variable) => list.map((index) => state.left[variable]?.[index] as number)),
    unary: indexes.map((list, variable) =>
      Float64Array.from(list, (index) => (state.unary[variable] as Float64Array)[index] as number),
    ),
    pairs: state.pairs.map((row, one) =>
      row.map((table, other) => {
        if (!table) return null;
        const columns = (state.unary[other] as Float64Array).length;
        const rows = indexes[one] as number[];
        const chosen = indexes[other] as number[];
        const made = new Float64Array(rows.length * chosen.length);
        rows.forEach((from, place) => {
          chosen.forEach((to, index) => {
            made[place * chosen.length + index] = table[from * columns + to] as number;
          });
        });
        return made;
      }),
    ),
  };
}

/** The variable to branch on: that with the most to lose by its second best; −1 when all are settled. */
function widest(state: State): number {
  let best = -1;
  let most = -1;
  state.unary.forEach((costs, variable) => {
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
