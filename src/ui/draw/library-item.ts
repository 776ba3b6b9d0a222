import { safeText } from '../../base/safe-text.js';
import { dayOf } from '../../shed/summary.js';
import type { Library, LibraryItem } from '../state/library.js';
import { weaknessOf } from '../state/library-found.js';
import type { Model } from '../state/model.js';
import { fitText, type Line, padText, piece, textWidth } from './line.js';

/** Columns of a title at least and at most, where there is room for both. */
const titleColumns = { least: 20, most: 44 } as const;

/* The longest title is looked for once for each list, not once a line. */
const longestTitles = new WeakMap<readonly LibraryItem[], number>();

/** Columns that titles have: no more than the longest one needs, for the tags have the rest. All items count, so that no column moves while one searches. */
function titleRoom({ items }: Library, columns: number): number {
  const longest =
    longestTitles.get(items) ??
    items.reduce((most, item) => Math.max(most, textWidth(beforeTitle(item) + item.title)), 0);
  longestTitles.set(items, longest);
  const half = Math.floor(columns / 2) - 4;
  return Math.max(titleColumns.least, Math.min(titleColumns.most, half, longest));
}

/** One line of the list: its title, key, tempo and meter, and what the order or a search goes by. */
export function itemLine(
  item: LibraryItem,
  library: Library,
  chosen: boolean,
  { look: { unicode }, size: { columns } }: Pick<Model, 'look' | 'size'>,
): Line {
  const width = titleRoom(library, columns);
  const mark = chosen ? (unicode ? ' ▸ ' : ' > ') : '   ';
  const label = padText(beforeTitle(item) + item.title, width);
  const room = columns - width - 6;
  const faulty = item.kind === 'faulty';
  const detail = fitText(`${faulty ? 'faulty: ' : ''}${item.detail}`, room);
  const more = item.facts ? moreText(item, library) : '';
  const left = room - textWidth(detail) - 3;
  return [
    piece(mark, chosen ? 'count' : 'plain'),
    piece(label, chosen ? 'here' : 'plain'),
    // What is marked ends before its key begins.
    piece('  '),
    piece(detail, faulty ? 'warn' : 'dim'),
    ...(more !== '' && left >= 4 ? [piece('   '), piece(fitText(more, left), 'dim')] : []),
  ];
}

function beforeTitle({ kind }: LibraryItem): string {
  return kind === 'set' || kind === 'folder' ? `${kind}: ` : '';
}

/** Behind key, tempo and meter: what it is sorted by, where that is not among these; else its tags. */
export function moreText(item: LibraryItem, library: Library): string {
  if (library.order === 'played') return item.played === undefined ? 'never played' : dayOf(item.played);
  if (library.order === 'weakest' && library.weak) {
    const weak = weaknessOf(item, library.weak);
    return weak ? `${weak.missed} of ${weak.of} missed` : 'not marked';
  }
  return item.hint ?? safeText(item.facts?.tags.join(', ') ?? '');
}
