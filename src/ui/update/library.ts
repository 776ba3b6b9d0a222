import type { Action } from '../keymap.js';
import type { Library, LibraryItem, Model, Updated } from '../model.js';

/** Lines of the screen that are not the list's own. */
export const libraryFrame = 6;

/** The items that have every word of what was typed in title, detail or file name. */
export function found({ items, query }: Pick<Library, 'items' | 'query'>): readonly LibraryItem[] {
  return finds(items, query, ({ title, detail, file }) => `${title} ${detail} ${file.split(/[\\/]/).at(-1)}`);
}

/** The items whose text has every word of what was typed; all of them while nothing is. */
export function finds<T>(items: readonly T[], query: string, textOf: (item: T) => string): readonly T[] {
  const words = plain(query)
    .split(/\s+/)
    .filter((word) => word !== '');
  if (words.length === 0) return items;
  const having = items.flatMap((item) => {
    const text = plain(textOf(item));
    return words.every((word) => text.includes(word)) ? [{ item, begins: words.every(startsIn(text)) }] : [];
  });
  // What begins with the letters is meant more often than what only has them in it.
  return [...having.filter(({ begins }) => begins), ...having.filter(({ begins }) => !begins)].map(
    ({ item }) => item,
  );
}

/** Whether a word of the text begins so. */
function startsIn(text: string): (word: string) => boolean {
  const begun = text.split(/[^\p{L}\p{N}#]+/u);
  return (word) => begun.some((one) => one.startsWith(word));
}

/** Small letters without accents; the signs as they are typed. */
function plain(text: string): string {
  return text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().replace(/♭/g, 'b').replace(/♯/g, '#');
}

/** Letters search; the list begins at its first find. */
export function searched(model: Model, library: Library, query: string): Updated {
  return { model: { ...model, notice: '', library: { ...library, query, index: 0 } }, effects: [] };
}

/** A key in the list of charts and sets. */
export function libraryAction(model: Model, library: Library, action: Action): Updated {
  const items = found(library);
  const page = Math.max(1, model.size.rows - libraryFrame - 1);
  const to = (index: number): Updated => ({
    model: {
      ...model,
      library: { ...library, index: Math.max(0, Math.min(items.length - 1, index)) },
    },
    effects: [],
  });
  switch (action) {
    case 'list-back':
      return to(library.index === 0 ? items.length - 1 : library.index - 1);
    case 'list-on':
      return to(library.index >= items.length - 1 ? 0 : library.index + 1);
    case 'list-page-back':
      return to(library.index - page);
    case 'list-page-on':
      return to(library.index + page);
    case 'list-start':
      return to(0);
    case 'list-end':
      return to(items.length - 1);
    case 'list-erase':
      return library.query === ''
        ? up(model, library)
        : searched(model, library, [...library.query].slice(0, -1).join(''));
    case 'list-open':
      return open(model, items[library.index]);
    default:
      return { model, effects: [] };
  }
}

/** One step back: from a search to the whole list, from a set or folder to where it was opened. */
export function libraryBack(model: Model, library: Library): Updated {
  if (library.query !== '') return searched(model, library, '');
  return up(model, library);
}

function up(model: Model, library: Library): Updated {
  if (library.from) return { model: { ...model, library: library.from, notice: '' }, effects: [] };
  return { model: { ...model, notice: 'this is the first list; Ctrl-C leaves' }, effects: [] };
}

function open(model: Model, item: LibraryItem | undefined): Updated {
  if (!item) return { model, effects: [] };
  if (item.kind === 'faulty') return { model: { ...model, notice: item.detail }, effects: [] };
  return {
    model: { ...model, notice: '' },
    effects: [{ kind: 'open', file: item.file, wishes: item.wishes, from: item.kind }],
  };
}
