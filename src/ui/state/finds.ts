import { searchText } from '../../base/search-text.js';

/** The items whose text has every word of what was typed; all of them while nothing is. What begins so comes first. */
export function finds<T>(items: readonly T[], query: string, textOf: (item: T) => string): readonly T[] {
  const words = searchText(query)
    .split(/\s+/)
    .filter((word) => word !== '');
  if (words.length === 0) return items;
  const having = items.flatMap((item) => {
    const text = searchText(textOf(item));
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
