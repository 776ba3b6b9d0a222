import { safeText } from './safe-text.js';

/** What makes a spreadsheet take a cell for a formula. */
const formula = /^[=+\-@\t\r\n＝＋－＠]/;

/**
 * One line of a CSV document (RFC 4180), without its end; `null` is an empty cell. A text that begins with a sign that makes
 * spreadsheets calculate is marked as text by an apostrophe and quoted, as OWASP advises against CSV injection; numbers stay
 * numbers. Control characters within a text become visible symbols.
 */
export function csvLine(cells: readonly (string | number | null)[]): string {
  return cells.map(cellText).join(',');
}

function cellText(cell: string | number | null): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return String(cell);
  const marked = formula.test(cell);
  const text = safeText(marked ? `'${cell}` : cell);
  return marked || /[",]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
}
