/** The most bars that are named; beyond that only their number is given. */
const most = 5;

/** Bars as a player counts them, from 1: `bar 7`, `bars 5, 13, 21`; of many the first ones, and how many there are. `bars` from 0. */
export function barList(bars: readonly number[]): string {
  const all = [...new Set(bars)].sort((one, other) => one - other).map((bar) => bar + 1);
  if (all.length <= 1) return `bar ${all[0] ?? 1}`;
  if (all.length <= most) return `bars ${all.join(', ')}`;
  return `bars ${all.slice(0, most - 1).join(', ')} and ${all.length - most + 1} more`;
}

/** Bars in a row: `bar 9`, `bars 9–12`. From 0. */
export function barRange(from: number, to: number): string {
  return from === to ? `bar ${from + 1}` : `bars ${from + 1}–${to + 1}`;
}
