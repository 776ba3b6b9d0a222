/** Lines of a plot, without styles: for terminals and pipes. */

/** A bar for each value, longest for the largest: `Mon ████ 12`. */
export function barPlot(
  values: readonly { readonly label: string; readonly value: number; readonly says: string }[],
  width: number,
  unicode: boolean,
): string[] {
  const most = Math.max(...values.map(({ value }) => value), 1);
  const labels = Math.max(...values.map(({ label }) => label.length), 0);
  const room = Math.max(4, width - labels - 2 - Math.max(...values.map(({ says }) => says.length), 0) - 1);
  return values.map(({ label, value, says }) => {
    const filled = Math.round((value / most) * room);
    return `${label.padEnd(labels)}  ${(unicode ? '▇' : '#').repeat(filled)}${filled > 0 ? ' ' : ''}${says}`;
  });
}

/**
 * A curve of points over time, with its scale at the left and a line for what is aimed at. Each column is one point, or
 * where there are too many, the last of several.
 */
export function curve(
  points: readonly { readonly value: number; readonly mark?: string }[],
  {
    height,
    width,
    target,
    unicode,
  }: { height: number; width: number; target: number | null; unicode: boolean },
): string[] {
  const shown = points.slice(-Math.max(1, width - 6));
  const values = [...shown.map(({ value }) => value), ...(target === null ? [] : [target])];
  if (shown.length === 0) return [];
  const low = Math.min(...values);
  const high = Math.max(...values, low + 1);
  const rowOf = (value: number): number => Math.round(((value - low) / (high - low)) * (height - 1));
  const aim = target === null ? -1 : rowOf(target);
  return Array.from({ length: height }, (_, index) => {
    const row = height - 1 - index;
    const scale = row === height - 1 ? high : row === 0 ? low : null;
    const label = scale === null ? '     ' : `${String(Math.round(scale)).padStart(4)} `;
    const cells = shown.map(({ value, mark }) => {
      if (rowOf(value) === row) return mark ?? (unicode ? '●' : 'o');
      return row === aim ? (unicode ? '┄' : '-') : ' ';
    });
    const rest =
      row === aim ? (unicode ? '┄' : '-').repeat(Math.max(0, Math.min(12, width - 6 - shown.length))) : '';
    return `${label}${unicode ? '│' : '|'}${cells.join('')}${rest}`.trimEnd();
  });
}
