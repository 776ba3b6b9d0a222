import type { Key } from '../theory/key.js';
import { readCell } from './cell.js';
import { tokenize } from './tokens.js';

/**
 * Whether every word of a line of words reads as a bar, in numbers or in letters against `key`: bars that somebody has put a `>`
 * before, not words that are sung.
 *
 * @example readsAsBars('4 1 (5 1)', key) // true
 */
export function readsAsBars(text: string, key: Key): boolean {
  const tokens = tokenize(text, 1, 1);
  const words = tokens.flatMap(({ kind, text: word }) => (kind === 'word' && word !== '=' ? [word] : []));
  if (words.length === 0 || tokens.some(({ kind }) => !/^(?:word|open|close)$/.test(kind))) return false;
  return (
    words.every((word) => readCell(word, { kind: 'numbers' }).ok) ||
    words.every((word) => readCell(word, { kind: 'letters', key }).ok)
  );
}
