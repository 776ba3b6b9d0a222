import { quoted } from '../base/safe-text.js';
import type { Token } from './tokens.js';

/** The most words that a form word or a mark has in another notation. */
const mostWords = 7;

/** What other notations write, from the most words to the fewest: a pattern, and what is meant. */
const rows: readonly (readonly [RegExp, (match: RegExpExecArray) => string])[] = [
  [
    /^(?:d\.? ?s\.?|d[ae]l segno)(?: al?\.? ?(coda|fine))?$/iu,
    ([, to]) => `write it as an entry of the form: from sign${end(to)}`,
  ],
  [
    /^(?:d\.? ?c\.?|da capo)(?: al?\.? ?(coda|fine))?$/iu,
    ([, to]) => `write it as an entry of the form: from top${end(to)}`,
  ],
  [
    /^(?:go |back )*(?:from|to)?(?: ?the)? ?(sign|segno|𝄋|top|beginning|start)(?: (?:to|till|until|al) (?:the )?(coda|fine|end))$/iu,
    ([, from = '', to]) =>
      `write it as an entry of the form: from ${/^[ts][^ie]|^b/i.test(from) ? 'top' : 'sign'}${end(to)}`,
  ],
  [
    /^(?:go |back )*from the (sign|segno|𝄋|top|beginning|start)$/iu,
    ([, from = '']) =>
      `write it as an entry of the form: from ${/^[ts][^ie]|^b/i.test(from) ? 'top' : 'sign'}`,
  ],
  [/^(?:𝄋|segno)$/iu, () => 'write the mark as @sign, before its bar'],
  [/^(?:@?(?:to|al) coda|𝄌|⊕)$/iu, () => 'write the mark as @to-coda, after the last bar before the jump'],
  [/^(?:al )?fine$/iu, () => 'write the mark as @fine, after the last bar of the song'],
  [
    /^coda$/iu,
    () => 'the coda is a section of its own; in the form its name follows the jump: from sign to coda, coda',
  ],
];

function end(to: string | undefined): string {
  if (to === undefined) return '';
  return /coda/i.test(to) ? ' to coda' : ' to fine';
}

/**
 * What is meant by words of other notations for going back, to the coda, or to the end; `null` for all else.
 *
 * @example otherWay('D.S. al coda') // “D.S. al coda”: write it as an entry of the form: from sign to coda
 */
export function otherWay(text: string): string | null {
  if (text.length > 60) return null;
  for (const [pattern, says] of rows) {
    const match = pattern.exec(text);
    if (match) return `${quoted(text)}: ${says(match)}`;
  }
  return null;
}

/** The same for the words that stand at `index` in a line of bars, and how many they are. */
export function otherWayAt(tokens: readonly Token[], index: number): { says: string; tokens: number } | null {
  if (
    !/^(?:@?(?:to|al)$|d\.|d[sca]|d[ae]l$|fine|from|go$|back$|segno|coda|𝄋|𝄌|⊕)/iu.test(
      tokens[index]?.text ?? '',
    )
  )
    return null;
  const words: string[] = [];
  for (const { kind, text } of tokens.slice(index, index + mostWords)) {
    if (kind !== 'word') break;
    words.push(text);
  }
  for (let length = words.length; length > 0; length -= 1) {
    const says = otherWay(words.slice(0, length).join(' '));
    if (says !== null) return { says, tokens: length };
  }
  return null;
}
