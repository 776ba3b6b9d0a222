import type { Action } from '../keys/actions.js';
import { finds } from './finds.js';

/** What is chosen in a list, and what was typed to find it. */
export interface ListChoice {
  readonly query: string;
  /** Index among those that are found. */
  readonly at: number;
}

/** The most characters of a search. */
const longest = 60;

/** A list as it opens: nothing typed, and the current item selected, or the first. */
export function firstChoice(index: number): ListChoice {
  return { query: '', at: Math.max(0, index) };
}

/** The items that are found, which of them is chosen, and from which on they are shown where `room` of them are. */
export function listShown<T extends { readonly label: string; readonly find?: string }>(
  items: readonly T[],
  { query, at }: ListChoice,
  room: number,
): { readonly found: readonly T[]; readonly at: number; readonly first: number } {
  const found = finds(items, query, ({ label, find = label }) => find);
  const chosen = Math.max(0, Math.min(found.length - 1, at));
  const first = Math.max(0, Math.min(found.length - room, chosen - Math.floor(room / 2)));
  return { found, at: chosen, first };
}

/** The choice after a key; `null` where the key is not the list's. It goes round at both ends. */
export function listMoved(
  { query, at }: ListChoice,
  action: Action,
  count: number,
  room: number,
): ListChoice | null {
  const last = Math.max(0, count - 1);
  switch (action) {
    case 'list-back':
      return { query, at: at === 0 ? last : at - 1 };
    case 'list-on':
      return { query, at: at >= last ? 0 : at + 1 };
    case 'list-page-back':
      return { query, at: Math.max(0, at - room) };
    case 'list-page-on':
      return { query, at: Math.min(last, at + room) };
    case 'list-start':
      return { query, at: 0 };
    case 'list-end':
      return { query, at: last };
    case 'list-erase':
      return query === '' ? null : { query: [...query].slice(0, -1).join(''), at: 0 };
    default:
      return null;
  }
}

/** The choice after letters were typed: the first that is found. */
export function listTyped({ query }: ListChoice, text: string): ListChoice {
  return { query: (query + text).slice(0, longest), at: 0 };
}
