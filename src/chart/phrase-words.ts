import type { Section } from './chart.js';

/** The words lines above each line of bars of a section, by that line's index. */
export type PhraseWords = ReadonlyMap<number, readonly string[]>;

/**
 * The words of a written line that has no bars but words, without its sign and the spaces around; `null` for any other line.
 *
 * @example wordsOf('> The river took the mill road down') // 'The river took the mill road down'
 */
export function wordsOf(line: string): string | null {
  const found = /^\s*>(.*)$/su.exec(line)?.[1];
  return found === undefined ? null : found.trim();
}

/** Which words stand above which line of a section: those that were written before it, since the line of bars before. */
export function phraseWords(section: Section): PhraseWords {
  const above = new Map<number, readonly string[]>();
  let waiting: string[] = [];
  section.lines.forEach(({ items, words }, line) => {
    if (words !== undefined) waiting.push(words);
    else if (waiting.length > 0 && items.some(({ kind }) => kind === 'bar')) {
      above.set(line, waiting);
      waiting = [];
    }
  });
  return above;
}

const verse = /^(\d{1,2})\.\s+(?=\S)/;

/**
 * Words with a verse's number in another notation, as they are written here: `1) one`, `1.one`, `V1: one`; `null` for all else.
 *
 * @example otherVerse('1) The river') // '1. The river'
 */
export function otherVerse(text: string): string | null {
  const found =
    /^(?:\(?(\d{1,2})\)[.:]?|(\d{1,2})(?::(?!\d)|\.(?=[^\s\d.]))|(?:v|verse|vs)\.? ?(\d{1,2})[.:)]?(?=\s|[^\d\s]))\s*(\S.*)$/iu.exec(
      text,
    );
  return found ? `${Number(found[1] ?? found[2] ?? found[3])}. ${found[4]}` : null;
}

/** The words of a phrase that begins in its middle: each verse, and lines without a number, after an ellipsis. */
export function amidPhrase(words: readonly string[]): readonly string[] {
  return words.map((text, line) => {
    const number = verse.exec(text)?.[0];
    if (number !== undefined) return `${number}… ${text.slice(number.length)}`;
    return line === 0 ? `… ${text}` : text;
  });
}

/**
 * The words of a phrase that is written in several places of a part which are all played each time: those of one of them, where
 * it counts alone how often it is played. Of verses with a number each place has every so many-th, counted again.
 *
 * @param place which of the places it is, from 1
 * @param places how many there are
 */
export function versesAt(words: readonly string[], place: number, places: number): readonly string[] {
  return words.flatMap((text) => {
    const number = verse.exec(text);
    if (!number) return [text];
    const behind = Number(number[1]) - place;
    if (behind < 0 || behind % places !== 0) return [];
    return [`${behind / places + 1}. ${text.slice(number[0].length)}`];
  });
}

/**
 * The words of a phrase that are shown the n-th time (from 1) it is played in a part of the form: those without a number, and
 * of those with one (`2. …`) the n-th, without it.
 */
export function versesFor(words: readonly string[], time: number): readonly string[] {
  return words.flatMap((text) => {
    const number = verse.exec(text);
    if (!number) return [text];
    return Number(number[1]) === time ? [text.slice(number[0].length)] : [];
  });
}
