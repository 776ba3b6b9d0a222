import type { Layout } from './layout.js';
import { mostOver, type OverView, wantsLines } from './over-lines.js';

/* Worked out once for each pass and width: it looks at every bar. */
const known = new WeakMap<Layout, Map<string, number>>();

/** The most lines that are over any row of a pass; 0 where the usual line for marks holds all that is said. */
export function tallestOver(view: OverView, narrow: boolean): number {
  const heights = known.get(view.layout) ?? new Map<string, number>();
  known.set(view.layout, heights);
  const name = `${view.width} ${narrow} ${view.words} ${view.unicode}`;
  const found = heights.get(name);
  if (found !== undefined) return found;
  const { rows } = view.layout;
  const made = rows.some((row) => wantsLines(view, row, narrow))
    ? rows.reduce((most, row) => Math.max(most, mostOver(view, row)), 0)
    : 0;
  heights.set(name, made);
  return made;
}
