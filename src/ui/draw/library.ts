import { hintNow } from '../state/hints.js';
import { found, type Library, type LibraryItem } from '../state/library.js';
import type { Model } from '../state/model.js';
import { libraryFrame } from '../state/sizes.js';
import { hintLine } from './foot.js';
import { fitLine, fitText, type Line, padText, piece } from './line.js';
import { noticeStyle } from './notice.js';

/** The list of charts and sets: title, what is searched, the items round the chosen one, a notice, keys. */
export function libraryLines(model: Model, library: Library): Line[] {
  const { columns, rows } = model.size;
  const { unicode } = model.look;
  const items = found(library);
  const room = Math.max(3, rows - libraryFrame);
  const first = Math.max(0, Math.min(items.length - room, library.index - Math.floor(room / 2)));
  const shown = items
    .slice(first, first + room)
    .map((item, place) => itemLine(item, first + place === library.index, columns, unicode));
  const head = fitLine(headLine(library, items.length, columns, unicode), columns - 9);
  const silent = model.session.link.output === 'silent' ? 'silent' : '';
  const lines: Line[] = [[...head, piece(silent, 'dim')], [], ...shown];
  if (items.length === 0)
    lines.push([piece('   nothing matches all of that; Backspace deletes letters', 'dim')]);
  while (lines.length < rows - 3) lines.push([]);
  lines.push([piece(' '), piece(fitText(model.notice, columns - 2), noticeStyle(model))]);
  const back = library.from || library.query !== '' ? 'Esc back' : 'Ctrl-C leaves';
  const hint = hintNow(model);
  const told = hint && hintLine(model, hint, 'library');
  const usual = [piece(fitText(` type to search   Enter opens   ${back}`, columns), 'dim')];
  lines.push(told ? [...told, piece(`Up and down choose   ${back}`, 'dim')] : usual);
  return lines;
}

function headLine(library: Library, count: number, columns: number, unicode: boolean): Line {
  const all = library.items.length;
  const searched: Line =
    library.query === ''
      ? []
      : [
          piece('   search: ', 'dim'),
          piece(library.query),
          piece(unicode ? '▏' : '_', 'count'),
          piece(`  ${count} of ${all}`, 'dim'),
        ];
  return [piece(` ${fitText(library.title, columns - 40)}`, 'title'), ...searched];
}

function itemLine(item: LibraryItem, chosen: boolean, columns: number, unicode: boolean): Line {
  const width = Math.min(44, Math.max(20, Math.floor(columns / 2)));
  const mark = chosen ? (unicode ? ' ▸ ' : ' > ') : '   ';
  const title =
    { set: 'set: ', folder: 'folder: ', new: '', transcript: '', run: '', chart: '', faulty: '' }[item.kind] +
    item.title;
  const label = `${padText(title, width)}  `;
  const faulty = item.kind === 'faulty';
  return [
    piece(mark, chosen ? 'count' : 'plain'),
    piece(label, chosen ? 'here' : 'plain'),
    piece(fitText(`${faulty ? 'faulty: ' : ''}${item.detail}`, columns - width - 6), faulty ? 'warn' : 'dim'),
  ];
}
