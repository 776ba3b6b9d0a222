/** Sound in pieces of uneven sizes, as a device hands it over. */
export function* pieces(samples: Float32Array, size = 441): Generator<Float32Array> {
  for (let from = 0; from < samples.length; from += size) yield samples.subarray(from, from + size);
}

/** How what was found agrees with what was played, both in ms. */
export interface Score {
  readonly f: number;
  readonly missed: number;
  readonly extra: number;
  /** The constant offset, ms, and how far from it 95 % of what was found lies. */
  readonly offset: number;
  readonly p95: number;
  /** Indices of what was played and of what was found for it. */
  readonly pairs: readonly (readonly [played: number, found: number])[];
}

/** Pairs what was found with what was played: within 25 ms when the constant offset (the median) has been taken off. */
export function scored(played: readonly number[], found: readonly number[], within = 25): Score {
  const used = new Set<number>();
  const close: [number, number][] = [];
  played.forEach((time, index) => {
    let best = -1;
    found.forEach((other, at) => {
      const away = Math.abs(other - time);
      if (
        !used.has(at) &&
        away <= within + 15 &&
        (best < 0 || away < Math.abs((found[best] as number) - time))
      )
        best = at;
    });
    if (best < 0) return;
    used.add(best);
    close.push([index, best]);
  });
  const away = ([one, other]: [number, number]): number => (found[other] as number) - (played[one] as number);
  const offset = quantile(close.map(away), 0.5);
  const pairs = close.filter((pair) => Math.abs(away(pair) - offset) <= within);
  return {
    f: (2 * pairs.length) / Math.max(1, played.length + found.length),
    missed: played.length - pairs.length,
    extra: found.length - pairs.length,
    offset,
    p95: quantile(
      close.map((pair) => Math.abs(away(pair) - offset)),
      0.95,
    ),
    pairs,
  };
}

/** The value that a share of the values lies below; NaN of none. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((one, other) => one - other);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
