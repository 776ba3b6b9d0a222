import { hintNow } from '../state/hints.js';
import type { Library } from '../state/library.js';
import { found } from '../state/library-found.js';
import type { Model } from '../state/model.js';
import { libraryFrame } from '../state/sizes.js';
import { hintLine } from './foot.js';
import { itemLine } from './library-item.js';
import { nothingLines, orderWords, searchHint } from './library-search.js';
import { fitLine, fitText, type Line, lineWidth, piece, textWidth } from './line.js';
import { namedKeys } from './named-keys.js';
import { noticeStyle } from './notice.js';

/** Columns at the end of the first line that say that nothing sounds. */
const headEnd = 9;

/** The list of charts and sets: title, what is searched, what can be typed and the order, the items round the chosen one, a notice, keys. */
export function libraryLines(model: Model, library: Library): Line[] {
  const { columns, rows } = model.size;
  const { unicode } = model.look;
  const items = found(library);
  const room = Math.max(3, rows - libraryFrame);
  const first = Math.max(0, Math.min(items.length - room, library.index - Math.floor(room / 2)));
  const shown = items
    .slice(first, first + room)
    .map((item, place) => itemLine(item, library, first + place === library.index, model));
  const head = fitLine(headLine(library, items.length, columns, unicode), columns - headEnd);
  const silent = model.session.link.output === 'silent' ? 'silent' : '';
  const lines: Line[] = [
    [...head, piece(silent.padStart(headEnd - 1), 'dim')],
    searchLine(library, columns),
    ...shown,
  ];
  if (items.length === 0) lines.push(...nothingLines(library, columns));
  while (lines.length < rows - 3) lines.push([]);
  lines.push([piece(' '), piece(fitText(model.notice, columns - 2), noticeStyle(model))]);
  const back = backWords(library);
  const hint = hintNow(model);
  const told = hint && hintLine(model, hint, 'library');
  const isEmpty = items.length === 0 && library.query !== '';
  // Where nothing was found, there is nothing to open or to sort.
  const keys = ['type to search', ...(isEmpty ? [] : ['Enter opens', 'Tab sorts']), back].join('   ');
  const usual = namedKeys(fitText(` ${keys}`, columns));
  lines.push(told && !isEmpty ? toldLine(told, back, columns) : usual);
  return lines;
}

/** What a newcomer is told, and as much of how to choose and leave as there is room for. */
function toldLine(told: Line, back: string, columns: number): Line {
  const rest = [`Up and down choose   ${back}`, back].find(
    (text) => lineWidth(told) + textWidth(text) <= columns,
  );
  return rest === undefined ? told : [...told, ...namedKeys(rest)];
}

function backWords({ from, query }: Library): string {
  if (query !== '') return 'Esc clears';
  return from ? 'Esc back' : 'Ctrl-C leaves';
}

function headLine(library: Library, count: number, columns: number, unicode: boolean): Line {
  const { items } = library;
  const unread = items.filter(({ kind }) => kind === 'unread').length;
  const searched: Line =
    library.query === ''
      ? []
      : [
          piece('   search: ', 'dim'),
          piece(library.query),
          piece(unicode ? '▏' : '_', 'count'),
          piece(`  ${count} of ${items.length}`, 'dim'),
        ];
  const reading = unread === 0 ? '' : `   reading: ${items.length - unread} of ${items.length}`;
  // Of a long search the title gives way: how many are found is to be seen.
  const room = Math.min(columns - 40, columns - headEnd - lineWidth(searched) - textWidth(reading) - 1);
  return [
    piece(room < 6 ? '' : ` ${fitText(library.title, room)}`, 'title'),
    ...searched,
    piece(reading, 'dim'),
  ];
}

/** What can be typed, or how it was understood; and by what the list is sorted. */
function searchLine(library: Library, columns: number): Line {
  const order = orderWords(library);
  const room = columns - textWidth(order) - 3;
  return [
    ...fitLine([piece(' '), piece(searchHint(library.query), 'dim')], room + 1),
    piece(` ${order}`, 'dim'),
  ];
}
