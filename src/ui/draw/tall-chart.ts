import type { Line } from './line.js';

/** A row of the chart, drawn: what is over it, then numbers, chords, rail, and marks of what was heard. */
export interface DrawnRow {
  readonly over: readonly Line[];
  readonly body: readonly Line[];
}

/** What a tall chart is put together from. */
export interface TallChart {
  readonly height: number;
  /** Whether there is air: a row before the one that is played, and a line between rows. */
  readonly airy: boolean;
  /** The most lines that are over any row. */
  readonly most: number;
  readonly before: DrawnRow | null;
  /** What is above the first row, which has none before it, on this many lines. */
  readonly opening: (lines: number) => readonly Line[];
  readonly current: DrawnRow;
  /** The line of the tune right over its numbers; none where it is not shown. */
  readonly tune: readonly Line[];
  /** The rows after it in the order of the page; `null` where the page ends. */
  readonly next: (place: number) => (DrawnRow & { readonly isComing: boolean }) | null;
  /** The row that is played next, where it is another than the current one. */
  readonly coming: DrawnRow | null;
  /** At most this many of the lines over a row. */
  readonly cut: (over: readonly Line[], most: number) => readonly Line[];
}

/**
 * Rows whose heights differ, on this many lines. The numbers that are played stand at the same height whatever stands over them,
 * and the row that comes is in sight: where there is room for only a part of a row, its numbers go first, then the words.
 */
export function tallChart(chart: TallChart): Line[] {
  const { height, airy, most, before, current, tune, cut } = chart;
  // What is still to be sung or done goes before a row that is over.
  const both = current.body.length + 3;
  const above = airy && Math.ceil((height - 3 - both) / 2) >= most ? 3 : 0;
  const spare = Math.max(0, height - above - both);
  const over = Math.max(1, Math.min(most, Math.ceil(spare / 2)));
  const empty = (count: number): Line[] => Array.from({ length: count }, (): Line => []);
  const own = cut(current.over, over);
  // The row before gives the line that the tune takes: its chords, so that the numbers that are played stay where they are.
  const isGiven = tune.length > 0;
  const row = before
    ? before.body.filter((_, line) => !isGiven || line !== 1)
    : chart.opening(isGiven ? above - 1 : above);
  const top = above > 0 ? row : [];
  const lines = [...top, ...empty(over - own.length), ...own, ...tune, ...current.body];
  return [...lines, ...below(chart, height - lines.length)].slice(0, height);
}

/** The rows below the current one: as many as fit, the coming one among them. */
function below(chart: TallChart, room: number): readonly Line[] {
  const { airy, coming, next, cut } = chart;
  const taken: Line[] = [];
  let seen = coming === null;
  for (let place = 0; taken.length < room; place += 1) {
    const row = next(place);
    if (!row) break;
    const block = blockOf(row, airy);
    const left = room - taken.length - block.length;
    // A row that is only on the page gives way to the one that is played next.
    if (!seen && !row.isComing && left < blockOf(coming as DrawnRow, airy).length) break;
    if (left < 0 && seen && room - taken.length < 4) break;
    taken.push(...(left < 0 ? squeezed(row, room - taken.length, cut) : block));
    seen ||= row.isComing;
  }
  if (!seen && coming) taken.push(...squeezed(coming, room - taken.length, cut));
  return taken;
}

function blockOf({ over, body }: DrawnRow, airy: boolean): readonly Line[] {
  return airy && over.length === 0 ? [[], ...body] : [...over, ...body];
}

/** A row on fewer lines than it wants: numbers, a line over them, chords, the rail, and then what else is over it. */
function squeezed({ over, body }: DrawnRow, room: number, cut: TallChart['cut']): readonly Line[] {
  const words = Math.min(over.length, Math.max(room >= 2 ? 1 : 0, room - body.length));
  return [...cut(over, words), ...body.slice(0, Math.max(1, room - words))];
}
