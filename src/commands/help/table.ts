import { textWidth } from '../../base/text-width.js';

/** A table in Markdown, its columns set below each other. What would end a cell is escaped. */
export function tableOf(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const all = [head, ...rows].map((row) => row.map((cell) => cell.replaceAll('|', '\\|')));
  const widths = head.map((_, column) => Math.max(3, ...all.map((row) => textWidth(row[column] ?? ''))));
  const line = (row: readonly string[]): string =>
    `| ${widths.map((width, at) => (row[at] ?? '') + ' '.repeat(width - textWidth(row[at] ?? ''))).join(' | ')} |`;
  const [first = [], ...others] = all;
  return [line(first), line(widths.map((width) => '-'.repeat(width))), ...others.map(line)].join('\n');
}
