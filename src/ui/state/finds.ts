import { searchText } from '../../base/search-text.js';

/**
 * The items whose text has every word of what was typed; all of them while nothing is. Those come first of which these are whole words,
 * then those of which words begin so, then the others.
 */
export function finds<T>(items: readonly T[], query: string, textOf: (item: T) => string): readonly T[] {
  const words = searchText(query)
    .split(/\s+/)
    .filter((word) => word !== '');
  if (words.length === 0) return items;
  const having = items.flatMap((item) => {
    const text = searchText(textOf(item));
    return words.every((word) => text.includes(word)) ? [{ item, fit: fitOf(text, words) }] : [];
  });
  return having.sort((one, other) => other.fit - one.fit).map(({ item }) => item);
}

/** 2 where all are whole words of the text, 1 where its words begin so, else 0. */
function fitOf(text: string, words: readonly string[]): 0 | 1 | 2 {
  const own = text.split(/[^\p{L}\p{N}#]+/u);
  if (words.every((word) => own.includes(word))) return 2;
  return words.every((word) => own.some((one) => one.startsWith(word))) ? 1 : 0;
}
