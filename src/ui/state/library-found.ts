import { withoutEnding } from '../../chart/find/asked.js';
import { type Findable, findable, findableText, finder } from '../../chart/find/find-songs.js';
import {
  byTitle,
  type SongOrder,
  type Sortable,
  sortSongs,
  type Weakness,
} from '../../chart/find/sort-songs.js';
import type { Library, LibraryItem, ListOrder } from './library.js';

/** What comes before the charts, among them, and after them. */
const groups: Readonly<Record<LibraryItem['kind'], number>> = {
  transcript: 0,
  run: 0,
  chart: 1,
  set: 1,
  faulty: 1,
  unread: 1,
  folder: 2,
  new: 3,
};

const shown = new WeakMap<Library, readonly LibraryItem[]>();

/** The items that fit what was typed, in the list's order: in the usual one those first that are meant by their key, or whose words begin so. */
export function found(library: Library): readonly LibraryItem[] {
  const known = shown.get(library);
  if (known) return known;
  const all = inOrder(library);
  const items = library.query.trim() === '' ? all : fitting(all, library);
  shown.set(library, items);
  return items;
}

function fitting(all: readonly LibraryItem[], { query, order = 'usual' }: Library): readonly LibraryItem[] {
  const fitOf = finder(query);
  const having = all.flatMap((item) => {
    const how = fitOf(findableOf(item));
    return how === null ? [] : [{ item, how }];
  });
  const ranked = order === 'usual' ? having.sort((one, other) => other.how - one.how) : having;
  return ranked.map(({ item }) => item);
}

const ordered = new WeakMap<
  readonly LibraryItem[],
  { readonly by: unknown; readonly items: readonly LibraryItem[] }
>();

/** All items in the list's order. It is kept as long as the items are the same: letters that are typed change only what is shown of it. */
function inOrder({ items, order = 'usual', isSet = false, weak }: Library): readonly LibraryItem[] {
  const by = order === 'weakest' ? weak : order;
  const known = ordered.get(items);
  if (known && known.by === by) return known.items;
  const sorted = [0, 1, 2, 3].flatMap((group) => {
    const own = items.filter(({ kind }) => groups[kind] === group);
    if (group !== 1) return own;
    if (order === 'usual' || by === undefined) return isSet ? own : own.toSorted(usually);
    return sortSongs(
      own.map((item) => sortable(item, weak)),
      order as SongOrder,
    ).map(({ item }) => item);
  });
  ordered.set(items, { by, items: sorted });
  return sorted;
}

function usually(one: LibraryItem, other: LibraryItem): number {
  const [played = 0, rank = 0] = one.place ?? [];
  const [otherPlayed = 0, otherRank = 0] = other.place ?? [];
  return otherPlayed - played || rank - otherRank || (one.place ? byTitle(one, other) : 0);
}

function sortable(
  item: LibraryItem,
  weak: ReadonlyMap<string, Weakness> | undefined,
): Sortable & { readonly item: LibraryItem } {
  const { title, facts = null, played = 0 } = item;
  return { title, facts, played, weak: weaknessOf(item, weak), item };
}

/** How weak a song is by the diary; `null` where nothing of it was marked, or the diary was not read. */
export function weaknessOf(
  { facts }: LibraryItem,
  weak: ReadonlyMap<string, Weakness> | undefined,
): Weakness | null {
  return (facts && weak?.get(facts.title)) ?? null;
}

const searched = new WeakMap<LibraryItem, Findable>();

function findableOf(item: LibraryItem): Findable {
  const known = searched.get(item);
  if (known) return known;
  const { file, title, detail, facts } = item;
  const name = file.split(/[\\/]/).at(-1) ?? '';
  const made = facts ? findable(facts, name) : findableText(`${title} ${detail} ${withoutEnding(name)}`);
  searched.set(item, made);
  return made;
}

/** A list with other items and the same one selected; if the first was selected, the first stays selected. */
export function withItems(library: Library, items: readonly LibraryItem[]): Library {
  return rechosen(library, { ...library, items });
}

/** A list in another order. It begins with its first. */
export function withOrder(library: Library, order: ListOrder): Library {
  return { ...library, order, index: 0 };
}

/** The list after a change, with the same item selected, wherever it is now. */
export function rechosen(before: Library, after: Library): Library {
  const item = found(before)[before.index];
  if (before.index === 0 || !item) return after;
  const at = found(after).findIndex(
    ({ file, kind }) => file === item.file && groups[kind] === groups[item.kind],
  );
  return { ...after, index: at < 0 ? Math.min(before.index, Math.max(0, found(after).length - 1)) : at };
}
