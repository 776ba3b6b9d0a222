import type { Factor } from './eliminate.js';

/**
 * In which order variables are eliminated: first those that meet two others at most, and always the one whose table
 * is the smallest. It follows which variables meet, without working any table.
 */
export class EliminationOrder {
  /** For each variable that is left, those it meets. */
  private readonly meets: Map<number, Set<number>>;

  constructor(
    factors: readonly Factor[],
    private readonly sizes: readonly number[],
    known?: ReadonlyMap<number, ReadonlySet<number>>,
  ) {
    this.meets = known
      ? new Map([...known].map(([variable, others]) => [variable, new Set(others)]))
      : new Map(sizes.map((_, variable) => [variable, new Set()]));
    for (const { variables } of factors)
      for (const one of variables)
        for (const other of variables) if (one !== other) this.meets.get(one)?.add(other);
  }

  /** The variables that are left, ascending. */
  left(): number[] {
    return [...this.meets.keys()].sort((one, other) => one - other);
  }

  /** The next variable to eliminate, how many others it meets, and how many entries are worked through for it; `null` when none is left. */
  next(): { variable: number; meets: number; entries: number } | null {
    let best: { variable: number; meets: number; entries: number } | null = null;
    for (const [variable, others] of this.meets) {
      let entries = this.sizes[variable] as number;
      for (const other of others) entries *= this.sizes[other] as number;
      const few = others.size <= 2;
      const fewest = best !== null && best.meets <= 2;
      if (best === null || (few && !fewest) || (few === fewest && entries < best.entries))
        best = { variable, meets: others.size, entries };
    }
    return best;
  }

  /** Takes a variable out: those that it met meet each other from then on. */
  takeOut(variable: number): void {
    const others = this.meets.get(variable) ?? [];
    this.meets.delete(variable);
    for (const one of others) {
      const met = this.meets.get(one);
      met?.delete(variable);
      for (const other of others) if (other !== one) met?.add(other);
    }
  }

  /** How many entries it takes to eliminate all that is left; counted only until they are more than `most`. */
  entries(most: number): number {
    const tried = new EliminationOrder([], this.sizes, this.meets);
    let sum = 0;
    for (let next = tried.next(); next && sum <= most; next = tried.next()) {
      sum += next.entries;
      tried.takeOut(next.variable);
    }
    return sum;
  }
}
