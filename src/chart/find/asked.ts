import { searchText } from '../../base/search-text.js';
import { type Key, keyName, parseKey } from '../../theory/key.js';
import { type NumberChord, numberText } from '../../theory/number.js';
import { askedNumber } from './number-run.js';

/** One thing that is searched for. A song is found if it has all of them. */
export type Asked =
  /** Part of the title, of who wrote it, of a tag or of the file's name; as `searchText` has it. */
  | { readonly kind: 'word'; readonly word: string }
  /** A key, `typed` as it was. `isSure`: with a capital letter, as keys are written; else it may be part of a text too. */
  | { readonly kind: 'key'; readonly key: Key; readonly typed: string; readonly isSure: boolean }
  /** A tempo, from and to, in what the chart counts or in quarters. */
  | { readonly kind: 'tempo'; readonly from: number; readonly to: number; readonly typed: string }
  /** Numbers in a row. */
  | { readonly kind: 'numbers'; readonly numbers: readonly NumberChord[]; readonly typed: string };

/** The most characters of a search that are looked at. */
export const longestSearch = 200;

/** The tempos a chart may have. */
const slowest = 20;
const fastest = 400;

const range = /^(\d{2,3})[-–](\d{2,3})$/;
/** `200+`, and `180-2` as long as `180-220` is not typed to its end; `-120`. */
const bound = /^(?:(\d{2,3})(?:\+|[-–]\d{0,2})|[-–](\d{2,3}))$/;
const meter = /^\d{1,2}\/(?:2|4|8)$/;

/**
 * What is asked for by words that were typed: `1 4 1 5` numbers in a row, `180-220` (`200+`, `-120`) tempos, `A`, `F#m`, `B♭` a key,
 * `B flat`, `A minor` as well; everything else part of a text.
 *
 * @example asked('1 4 1 5 A 180-220') // numbers, a key, a tempo
 */
export function asked(query: string): readonly Asked[] {
  const words = query
    .slice(0, longestSearch)
    .split(/\s+/)
    .filter((word) => word !== '');
  const all: Asked[] = [];
  for (let at = 0; at < words.length; at += 1) {
    const spelled = spelledKey(words, at);
    if (spelled) {
      all.push(spelled.asked);
      at += spelled.count - 1;
      continue;
    }
    const word = words[at] as string;
    const number = meter.test(word) ? null : askedNumber(word);
    const before = all.at(-1);
    if (number && before?.kind === 'numbers')
      all[all.length - 1] = {
        kind: 'numbers',
        numbers: [...before.numbers, number],
        typed: `${before.typed} ${searchText(word)}`,
      };
    else all.push(number ? { kind: 'numbers', numbers: [number], typed: searchText(word) } : other(word));
  }
  return all;
}

/** A key in two or three words: `B flat`, `A minor`, `F sharp minor`. It may be part of a title too. */
function spelledKey(
  words: readonly string[],
  at: number,
): { readonly asked: Asked; readonly count: number } | null {
  for (const count of [3, 2]) {
    const typed = words.slice(at, at + count).join(' ');
    const [, letter, sign = '', mode = ''] =
      /^([a-g])([#b♯♭]| flat| sharp)?( minor| major)?$/i.exec(typed) ?? [];
    if (letter === undefined || !typed.includes(' ')) continue;
    const accidental = sign.trim().toLowerCase().replace('flat', 'b').replace('sharp', '#');
    const key = parseKey(`${letter.toUpperCase()}${accidental}${mode.toLowerCase()}`);
    if (key.ok) return { asked: { kind: 'key', key: key.value, typed, isSure: false }, count };
  }
  return null;
}

function other(word: string): Asked {
  const typed = searchText(word);
  const tempo = tempoOf(word);
  if (tempo) return { kind: 'tempo', ...tempo, typed };
  // “a” begins too many words to be taken for a key; “A” is taken for one.
  if (/^[A-G]|^[a-g][#b♯♭]|^[a-g]m$/.test(word)) {
    const key = parseKey(word.replace(/^[a-g]/, (letter) => letter.toUpperCase()));
    if (key.ok) return { kind: 'key', key: key.value, typed: word, isSure: /^[A-G]/.test(word) };
  }
  return { kind: 'word', word: withoutEnding(typed) };
}

/** A file's name without its extension, which would be found in every chart. */
export function withoutEnding(name: string): string {
  return name.replace(/(?<=.)\.ya?ml$/i, '');
}

function tempoOf(word: string): { readonly from: number; readonly to: number } | null {
  const [, one, two] = range.exec(word) ?? [];
  if (one !== undefined && two !== undefined && two.length >= one.length) {
    const ends = [Number(one), Number(two)].sort((low, high) => low - high) as [number, number];
    return { from: ends[0], to: ends[1] };
  }
  const [, from, to] = bound.exec(word) ?? [];
  if (from !== undefined) return { from: Number(from), to: fastest };
  return to === undefined ? null : { from: slowest, to: Number(to) };
}

/** What is searched for, in words: `numbers 1 4 1 5, key A, tempo 180 to 220, “fog”`. */
export function askedText(all: readonly Asked[]): string {
  return all.map(oneText).join(', ');
}

function oneText(one: Asked): string {
  switch (one.kind) {
    case 'numbers': {
      const numbers = one.numbers.map(numberText);
      return numbers.length === 1 ? `number ${numbers[0]}` : `numbers ${numbers.join(' ')}`;
    }
    case 'key':
      return one.isSure ? `key ${keyName(one.key)}` : `key ${keyName(one.key)} or “${one.typed}”`;
    case 'tempo':
      if (one.to === fastest) return `tempo ${one.from} or faster`;
      return one.from === slowest ? `tempo ${one.to} or slower` : `tempo ${one.from} to ${one.to}`;
    case 'word':
      return `“${one.word}”`;
  }
}
