import type { PlayedBar } from '../../chart/chart.js';

/** One line of the unrolled chart: up to four bars of one form entry. */
export interface ChartRow {
  readonly entry: number;
  /** The section's name on its first line; empty on the others. */
  readonly section: string;
  readonly who: string | null;
  /** Indices of its bars in the pass. */
  readonly bars: readonly number[];
}

/** Bars on a line. */
export const barsPerRow = 4;

/** Breaks a pass into lines; each time a section is played begins a new one. */
export function chartRows(bars: readonly PlayedBar[]): readonly ChartRow[] {
  const rows: { entry: number; round: number; section: string; who: string | null; bars: number[] }[] = [];
  bars.forEach((bar, index) => {
    const last = rows.at(-1);
    const continues = last !== undefined && last.entry === bar.entry && last.round === bar.round;
    if (continues && last.bars.length < barsPerRow) last.bars.push(index);
    else
      rows.push({
        entry: bar.entry,
        round: bar.round,
        section: continues ? '' : bar.section,
        who: continues ? null : bar.who,
        bars: [index],
      });
  });
  return rows;
}

/** The line a bar stands in. */
export function rowOf(rows: readonly ChartRow[], bar: number): number {
  return Math.max(
    0,
    rows.findIndex((row) => row.bars.includes(bar)),
  );
}
