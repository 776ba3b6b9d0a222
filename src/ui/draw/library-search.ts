import { asked, askedText } from '../../chart/find/asked.js';
import type { Library } from '../state/library.js';
import { type Line, piece } from './line.js';
import { wrapWords } from './words.js';

/** What can be typed to find a song, or how what was typed is understood where that is more than a word. */
export function searchHint(query: string): string {
  const all = asked(query);
  if (all.length === 0) return 'title, by, tag; key A F#m; tempo 180-220; numbers 1 4 1 5';
  return all.every(({ kind }) => kind === 'word') ? '' : askedText(all);
}

/** By what a list is sorted. */
export function orderWords({ order = 'usual', isSet = false, weak }: Library): string {
  switch (order) {
    case 'usual':
      return isSet ? 'in the order of the set' : 'in the usual order';
    case 'played':
      return 'by last played';
    case 'weakest':
      return weak ? 'by weakest' : 'by weakest: reading the diary';
    default:
      return `by ${order}`;
  }
}

/** That nothing was found, of what was asked for; and what to do. */
export function nothingLines(
  { query, items }: Pick<Library, 'query' | 'items'>,
  columns: number,
): readonly Line[] {
  const unread = items.filter(({ kind }) => kind === 'unread').length;
  const all = asked(query);
  const what = all.length === 1 ? `nothing has ${askedText(all)}` : `nothing has all of: ${askedText(all)}`;
  const still = unread === 0 ? '' : `; ${unread} ${unread === 1 ? 'file is' : 'files are'} not read yet`;
  return wrapWords(`${what}${still}. Backspace takes letters away`, columns - 6)
    .slice(0, 4)
    .map((text) => [piece('   '), piece(text, 'dim')]);
}
