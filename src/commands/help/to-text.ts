import { textWidth } from '../../base/text-width.js';
import { wrapText } from '../../base/wrap-text.js';

/** How a heading is written on a terminal. */
export type Emphasis = (text: string) => string;

/**
 * A page of Markdown as the lines of a terminal: paragraphs, lists and tables are wrapped to the width, blocks of code stay as they
 * are, and the signs of the markup are left out, but for those round what is typed or pressed within a sentence. It knows what the pages use, and no more of Markdown.
 *
 * @param columns the width; nothing but code and long words is wider
 * @param strong what is done to headings
 */
export function toText(
  markdown: string,
  columns: number,
  strong: Emphasis = (text) => text,
): readonly string[] {
  return blocksOf(markdown).flatMap((block, at) => [
    ...(at === 0 ? [] : ['']),
    ...blockLines(block, columns, strong),
  ]);
}

/** The blocks of a page: lines that stand together. A block of code keeps the empty lines within it. */
function blocksOf(markdown: string): readonly (readonly string[])[] {
  const blocks: string[][] = [];
  let isOpen = false;
  for (const line of markdown.split('\n')) {
    const last = blocks.at(-1);
    if (line.trim() === '') isOpen = false;
    else if (isOpen && last && isCode(last[0] ?? '') === isCode(line)) last.push(line);
    else if (last && isCode(last[0] ?? '') && isCode(line)) last.push('', line);
    else blocks.push([line]);
    if (line.trim() !== '') isOpen = !line.startsWith('#');
  }
  return blocks;
}

function isCode(line: string): boolean {
  return line.startsWith('    ');
}

function blockLines(block: readonly string[], columns: number, strong: Emphasis): readonly string[] {
  const [first = ''] = block;
  if (isCode(first)) return block;
  const heading = /^(#+) (.*)$/.exec(first);
  if (heading)
    return [strong(heading[1] === '#' ? inline(first.slice(2)).toUpperCase() : inline(heading[2] ?? ''))];
  if (first.startsWith('|')) return tableLines(block, columns);
  if (!first.startsWith('- ')) return wrapText(inline(block.join(' ')), columns);
  const items: string[] = [];
  for (const line of block) {
    if (line.startsWith('- ')) items.push(line.slice(2));
    else items[items.length - 1] += ` ${line.trim()}`;
  }
  return items.flatMap((item) =>
    wrapText(inline(item), columns - 4).map((line, at) => (at === 0 ? `  - ${line}` : `    ${line}`)),
  );
}

/** A table: its last column takes the room that the others leave and is wrapped, and each row stands apart where one was. */
function tableLines(block: readonly string[], columns: number): readonly string[] {
  const rows = block.filter((line) => !/^\|[-: |]+\|$/.test(line)).map((line) => cellsOf(line).map(cellText));
  const count = Math.max(...rows.map((row) => row.length));
  const natural = Array.from({ length: count }, (_, at) =>
    Math.max(...rows.map((row) => textWidth(row[at] ?? ''))),
  );
  const gaps = 2 * count;
  const widths = shared(natural, columns - gaps);
  return rows.flatMap((row, at) => {
    const wrapped = widths.map((width, column) => wrapText(row[column] ?? '', width));
    const height = Math.max(1, ...wrapped.map((lines) => lines.length));
    const lines = Array.from({ length: height }, (_, line) =>
      widths
        .map((width, column) => {
          const text = wrapped[column]?.[line] ?? '';
          return `  ${text}${' '.repeat(Math.max(0, width - textWidth(text)))}`;
        })
        .join('')
        .trimEnd(),
    );
    return at === 0
      ? [...lines, `  ${'-'.repeat(Math.max(1, Math.min(columns - 2, total(widths) + gaps - 2)))}`]
      : lines;
  });
}

/** The widths of columns within a room: what is narrow has what it needs, the others share the rest. */
function shared(natural: readonly number[], room: number): readonly number[] {
  const widths = [...natural];
  for (let over = total(widths) - room; over > 0; over -= 1) {
    const widest = widths.indexOf(Math.max(...widths));
    if ((widths[widest] ?? 0) <= 8) break;
    widths[widest] = (widths[widest] ?? 0) - 1;
  }
  return widths;
}

function total(widths: readonly number[]): number {
  return widths.reduce((sum, width) => sum + width, 0);
}

/** The cells of a line of a table; a bar with `\` before it stands within one. */
function cellsOf(line: string): readonly string[] {
  return line
    .trim()
    .slice(1, -1)
    .split(/(?<!\\)\|/)
    .map((cell) => cell.replaceAll('\\|', '|'));
}

/** The text of a cell: where it is nothing but what is typed or pressed, it needs no marks. */
function cellText(cell: string): string {
  const text = inline(cell.trim());
  return /^`[^`]*`(?:,? `[^`]*`)*$/.test(text) ? text.replaceAll('`', '') : text;
}

/** A text without the signs of its markup, but for those of code. */
function inline(text: string): string {
  return text
    .replace(/<\/?code>/g, '`')
    .replaceAll('&#124;', '|')
    .split(/(`[^`]*`)/)
    .map((part) => (part.startsWith('`') ? part : plainly(part)))
    .join('');
}

function plainly(text: string): string {
  return text
    .replace(/\[([^\]]*)\]\([^)]*\)/g, '$1')
    .replace(/\*\*([^*]+)\*\*/g, '$1')
    .replace(/(^|[\s(“])_([^_]+)_(?=$|[\s).,:;”])/g, '$1$2');
}
