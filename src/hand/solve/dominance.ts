import type { Factor } from './eliminate.js';

/** A pair as one of its variables sees it: a row for each of its own candidates, a column for each left of the other's. */
interface View {
  readonly columns: number;
  readonly table: Float64Array;
  /** The least of each row. */
  readonly least: Float64Array;
}

/**
 * For each variable the candidates worth keeping: one goes when another is never dearer, whatever the neighbours
 * take (dead-end elimination). Of two that are always equal the first stays.
 */
export function undominated(unary: readonly (readonly number[])[], pairs: readonly Factor[]): number[][] {
  const candidates = unary.map((costs) => costs.map((_, candidate) => candidate));
  const around: Factor[][] = unary.map(() => []);
  for (const pair of pairs) for (const variable of pair.variables) around[variable]?.push(pair);
  const stale = new Set(unary.keys());
  while (stale.size > 0) {
    for (const [variable, costs] of unary.entries()) {
      if (!stale.delete(variable)) continue;
      const pairsHere = around[variable] as Factor[];
      const views = pairsHere.map((pair) => viewOf(pair, variable, candidates, unary));
      const list = candidates[variable] as number[];
      const left = list.filter(
        (candidate) => !list.some((one) => one !== candidate && isNeverDearer(one, candidate, costs, views)),
      );
      if (left.length === list.length) continue;
      candidates[variable] = left;
      // Only what has lost some neighbour's candidate can lose more of its own.
      for (const { variables } of pairsHere)
        for (const one of variables) if (one !== variable) stale.add(one);
    }
  }
  return candidates;
}

function viewOf(
  { variables, table }: Factor,
  variable: number,
  candidates: readonly number[][],
  unary: readonly (readonly number[])[],
): View {
  const [first, second] = variables as [number, number];
  const isFirst = first === variable;
  const across = (unary[second] as readonly number[]).length;
  const rows = (unary[variable] as readonly number[]).length;
  const others = candidates[isFirst ? second : first] as number[];
  const view = {
    columns: others.length,
    table: new Float64Array(rows * others.length),
    least: new Float64Array(rows).fill(Number.POSITIVE_INFINITY),
  };
  for (let row = 0, entry = 0; row < rows; row += 1) {
    for (const other of others) {
      const cost = table[isFirst ? row * across + other : other * across + row] as number;
      view.table[entry] = cost;
      if (cost < (view.least[row] as number)) view.least[row] = cost;
      entry += 1;
    }
  }
  return view;
}

/**
 * Whether one candidate is never dearer than another. What the other costs more is first taken at the least of each
 * pair's row, which is too much if anything, so that it may be given up as soon as the sum falls below 0.
 */
function isNeverDearer(one: number, than: number, costs: readonly number[], views: readonly View[]): boolean {
  const enough = one < than ? 0 : 1;
  let more = (costs[than] as number) - (costs[one] as number);
  for (const { least } of views) more += (least[than] as number) - (least[one] as number);
  if (more < enough) return false;
  for (const { columns, table, least } of views) {
    const rest = more - ((least[than] as number) - (least[one] as number));
    let worst = Number.POSITIVE_INFINITY;
    for (let column = 0, dear = than * columns, cheap = one * columns; column < columns; column += 1) {
      const difference = (table[dear + column] as number) - (table[cheap + column] as number);
      if (difference >= worst) continue;
      worst = difference;
      if (rest + worst < enough) return false;
    }
    more = rest + worst;
  }
  return true;
}
