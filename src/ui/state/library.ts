import type { Key } from '../../theory/key.js';

/** What a set says about a song; what is `null` is as the chart has it. */
export interface SongWishes {
  readonly key: Key | null;
  readonly bpm: number | null;
}

/** One line of a list of charts and sets. A file with faults is listed too, with the first of them. */
export interface LibraryItem {
  readonly file: string;
  /** `transcript`: a chart that was being written down, whose file is the name it is kept under. */
  readonly kind: 'chart' | 'set' | 'folder' | 'faulty' | 'new' | 'transcript' | 'run';
  readonly title: string;
  /** Key, tempo and meter, or the fault. */
  readonly detail: string;
  readonly wishes: SongWishes;
}

/** What something is opened as; `resume`: a set's run that was stopped is resumed. */
export type OpenKind = Exclude<LibraryItem['kind'], 'faulty'> | 'resume';

/** A list of charts and sets; a set's list has the one it was opened from. */
export interface Library {
  readonly title: string;
  readonly items: readonly LibraryItem[];
  readonly index: number;
  readonly from: Library | null;
  /** What was typed to find something. */
  readonly query: string;
}

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
