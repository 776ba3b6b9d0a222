import { safeText } from '../base/safe-text.js';
import type { BookWriter } from './format.js';
import type { PrintedOrder } from './sheet-pdf.js';
import { sheetText } from './sheet-text.js';

/** A book as plain text. */
export const writeText: BookWriter = async ({ sheets, order }, { blank, marks }) => {
  const pages = sheets.map((sheet) => sheetText(sheet, blank, marks));
  return [...(order === null ? [] : [orderText(order)]), ...pages].join('\n\n');
};

function orderText({ title, date, lines }: PrintedOrder): string {
  return [
    `${title}${date === null ? '' : `, ${date}`}`,
    '',
    ...lines.flatMap((line, index) => [
      `${String(index + 1).padStart(2)}  ${line.title}, ${line.key}  ${line.about}`,
      ...(line.notes === null ? [] : [`      ${line.notes}`]),
    ]),
    '',
  ]
    .map(safeText)
    .join('\n');
}
