import type { CostTable } from './problem.js';

/** What two variables cost by their candidates: a row for each of the first, the lower one, a column for each of the second. */
export interface Edge {
  readonly first: number;
  readonly second: number;
  readonly table: CostTable;
}

/** What is left of a network: which of its candidates, their costs, and the messages that have been passed so far. */
export interface MessageState {
  /** For each variable the candidates left, by their index in the whole network. */
  readonly left: readonly (readonly number[])[];
  readonly unary: readonly Float64Array[];
  /** For each edge its table, and the messages to its first and to its second variable. */
  readonly tables: readonly CostTable[];
  readonly toFirst: readonly Float64Array[];
  readonly toSecond: readonly Float64Array[];
}

/** A whole network, no message being passed yet. */
export function stateOf(unary: readonly Float64Array[], edges: readonly Edge[]): MessageState {
  return {
    left: unary.map((costs) => Array.from(costs.keys())),
    unary,
    tables: edges.map(({ table }) => table),
    toFirst: edges.map(({ first }) => new Float64Array((unary[first] as Float64Array).length)),
    toSecond: edges.map(({ second }) => new Float64Array((unary[second] as Float64Array).length)),
  };
}

/**
 * Messages along the edges of a network, by which its variables agree on what their candidates cost as a whole
 * (sequential tree-reweighted message passing, Kolmogorov 2006, from memory). Passing changes a state's messages.
 */
export class Messages {
  /** For each variable its edges to later and to earlier variables. */
  private readonly ahead: number[][];
  private readonly behind: number[][];
  /** The share of a variable's cost that each of its edges is handed. */
  private readonly share: readonly number[];

  constructor(
    count: number,
    private readonly edges: readonly Edge[],
  ) {
    this.ahead = Array.from({ length: count }, () => []);
    this.behind = Array.from({ length: count }, () => []);
    edges.forEach(({ first, second }, edge) => {
      this.ahead[first]?.push(edge);
      this.behind[second]?.push(edge);
    });
    this.share = this.ahead.map(
      (list, variable) => 1 / Math.max(1, list.length, (this.behind[variable] as number[]).length),
    );
  }

  /**
   * Passes messages from the first variable to the last. Gives for each candidate how much more than the bound before
   * any choice with it costs at least; notes in `choice`, where it is given, a good candidate of each variable.
   */
  forward(state: MessageState, choice: number[] | null): Float64Array[] {
    const excess: Float64Array[] = [];
    for (const variable of state.unary.keys()) {
      const costs = this.gathered(state, variable);
      if (choice) choice[variable] = this.chosen(state, variable, choice);
      lowered(costs);
      excess.push(costs);
      for (const edge of this.ahead[variable] as number[]) this.pass(state, edge, variable, costs);
    }
    return excess;
  }

  /** Passes messages from the last variable to the first. Gives a bound: no choice costs less. */
  backward(state: MessageState): number {
    let bound = 0;
    for (let variable = state.unary.length - 1; variable >= 0; variable -= 1) {
      const costs = this.gathered(state, variable);
      bound += lowered(costs);
      for (const edge of this.behind[variable] as number[]) bound += this.pass(state, edge, variable, costs);
    }
    return bound;
  }

  /** A variable's own costs with all that it has been told. */
  private gathered({ unary, toFirst, toSecond }: MessageState, variable: number): Float64Array {
    const costs = (unary[variable] as Float64Array).slice();
    for (const edge of this.ahead[variable] as number[]) add(costs, toFirst[edge] as Float64Array);
    for (const edge of this.behind[variable] as number[]) add(costs, toSecond[edge] as Float64Array);
    return costs;
  }

  /** The candidate that is cheapest beside those chosen for earlier variables, by what later ones tell. */
  private chosen(state: MessageState, variable: number, choice: readonly number[]): number {
    const costs = (state.unary[variable] as Float64Array).slice();
    for (const edge of this.ahead[variable] as number[]) add(costs, state.toFirst[edge] as Float64Array);
    for (const edge of this.behind[variable] as number[]) {
      const row = choice[(this.edges[edge] as Edge).first] as number;
      add(costs, (state.tables[edge] as CostTable).subarray(row * costs.length, (row + 1) * costs.length));
    }
    return cheapest(costs);
  }

  /** What each candidate of a variable costs in the whole network beside those chosen for all others. */
  costsBeside(unary: readonly Float64Array[], variable: number, choice: readonly number[]): Float64Array {
    const costs = (unary[variable] as Float64Array).slice();
    for (const edge of this.behind[variable] as number[]) {
      const { first, table } = this.edges[edge] as Edge;
      const row = choice[first] as number;
      add(costs, table, row * costs.length);
    }
    for (const edge of this.ahead[variable] as number[]) {
      const { second, table } = this.edges[edge] as Edge;
      const columns = (unary[second] as Float64Array).length;
      for (let row = 0, entry = choice[second] as number; row < costs.length; row += 1, entry += columns)
        costs[row] = (costs[row] as number) + (table[entry] as number);
    }
    return costs;
  }

  /** Tells the other variable of an edge what a share of this one's costs comes to for it; how much all of it costs at least. */
  private pass(state: MessageState, edge: number, variable: number, costs: Float64Array): number {
    const table = state.tables[edge] as CostTable;
    const share = this.share[variable] as number;
    const toFirst = state.toFirst[edge] as Float64Array;
    const toSecond = state.toSecond[edge] as Float64Array;
    const rows = toFirst.length;
    const columns = toSecond.length;
    if ((this.edges[edge] as Edge).first === variable) {
      toSecond.fill(Number.POSITIVE_INFINITY);
      for (let row = 0, entry = 0; row < rows; row += 1) {
        const base = share * (costs[row] as number) - (toFirst[row] as number);
        for (let column = 0; column < columns; column += 1, entry += 1) {
          const sum = base + (table[entry] as number);
          if (sum < (toSecond[column] as number)) toSecond[column] = sum;
        }
      }
      return lowered(toSecond);
    }
    const base = new Float64Array(columns);
    for (let column = 0; column < columns; column += 1)
      base[column] = share * (costs[column] as number) - (toSecond[column] as number);
    for (let row = 0, entry = 0; row < rows; row += 1) {
      let low = Number.POSITIVE_INFINITY;
      for (let column = 0; column < columns; column += 1, entry += 1) {
        const sum = (base[column] as number) + (table[entry] as number);
        if (sum < low) low = sum;
      }
      toFirst[row] = low;
    }
    return lowered(toFirst);
  }

  /** A copy of a state with only some of its candidates. */
  keepOnly(state: MessageState, keep: readonly (readonly boolean[])[]): MessageState {
    const indexes = keep.map((list) => list.flatMap((kept, candidate) => (kept ? [candidate] : [])));
    const some = (costs: Float64Array, variable: number): Float64Array =>
      selected(costs, indexes[variable] as number[]);
    return {
      left: indexes.map((list, variable) => list.map((index) => state.left[variable]?.[index] as number)),
      unary: state.unary.map(some),
      tables: this.edges.map(({ first, second }, edge) => {
        const table = state.tables[edge] as CostTable;
        const columns = (state.unary[second] as Float64Array).length;
        const chosen = indexes[second] as number[];
        const rows = indexes[first] as number[];
        return rows.length * chosen.length === table.length
          ? table
          : selectedPairs(table, columns, rows, chosen);
      }),
      toFirst: this.edges.map(({ first }, edge) => some(state.toFirst[edge] as Float64Array, first)),
      toSecond: this.edges.map(({ second }, edge) => some(state.toSecond[edge] as Float64Array, second)),
    };
  }
}

function selected(costs: Float64Array, indexes: readonly number[]): Float64Array {
  const made = new Float64Array(indexes.length);
  for (let place = 0; place < made.length; place += 1)
    made[place] = costs[indexes[place] as number] as number;
  return made;
}

/** A table with only some of its rows and columns. */
export function selectedPairs(
  table: CostTable,
  columns: number,
  rows: readonly number[],
  chosen: readonly number[],
): CostTable {
  const made = new Float64Array(rows.length * chosen.length);
  let entry = 0;
  for (let place = 0; place < rows.length; place += 1) {
    const begin = (rows[place] as number) * columns;
    for (let index = 0; index < chosen.length; index += 1, entry += 1)
      made[entry] = table[begin + (chosen[index] as number)] as number;
  }
  return made;
}

/** The first of the least costs. */
export function cheapest(costs: Float64Array): number {
  let low = 0;
  for (let index = 1; index < costs.length; index += 1)
    if ((costs[index] as number) < (costs[low] as number)) low = index;
  return low;
}

/** Adds as many entries of a table as there are costs, from an entry on. */
function add(costs: Float64Array, table: Float64Array, from = 0): void {
  for (let index = 0; index < costs.length; index += 1)
    costs[index] = (costs[index] as number) + (table[from + index] as number);
}

/** Lowers costs so that the least is 0; by how much. */
function lowered(costs: Float64Array): number {
  let low = Number.POSITIVE_INFINITY;
  for (let index = 0; index < costs.length; index += 1)
    if ((costs[index] as number) < low) low = costs[index] as number;
  for (let index = 0; index < costs.length; index += 1) costs[index] = (costs[index] as number) - low;
  return low;
}
