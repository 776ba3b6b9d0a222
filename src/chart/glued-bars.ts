import { quoted } from '../base/safe-text.js';
import { type Notation, readCell } from './cell.js';
import { otherWriting } from './other-writings.js';
import type { Token } from './tokens.js';

/**
 * What is wrong with the bracket at `open` where a chord stands directly before it or directly after its end, without a space: two bars, or
 * one chord with its kind in brackets. `null` where nothing is.
 *
 * @example gluedBars(tokenize('5(7)', 1, 1), 1, { kind: 'numbers' }) // a space is missing … a seventh is …
 */
export function gluedBars(tokens: readonly Token[], open: number, notation: Notation): string | null {
  let close = open;
  while (close < tokens.length && tokens[close]?.kind !== 'close') close += 1;
  const before = chordAt(tokens[open - 1]);
  const behind = chordAt(tokens[close + 1]);
  const [opening, closing] = [tokens[open], tokens[close]];
  const isBefore = before && before.column + [...before.text].length === opening?.column;
  const isBehind = behind && closing && closing.column + 1 === behind.column;
  if (!isBefore && !isBehind) return null;
  const inner = tokens.slice(open + 1, close).map(({ text }) => text);
  const group = `(${inner.join(' ')})`;
  const spaced = [isBefore ? before.text : null, group, isBehind ? behind.text : null]
    .filter((text) => text !== null)
    .join(' ');
  const chord = isBefore && inner.length === 1 ? oneChord(before.text, inner[0] as string, notation) : null;
  const kind = chord === null ? '' : `; a single chord with its kind is written ${quoted(chord)}`;
  return `a space is missing between bars: ${quoted(spaced)}${kind}`;
}

function chordAt(token: Token | undefined): Token | null {
  return token?.kind === 'word' && !/^(?:@|x\d|=$|\+$|\|)/.test(token.text) ? token : null;
}

/** A chord and what stands in brackets after it, as one chord: `5` and `7` are `5^7`. */
function oneChord(chord: string, kind: string, notation: Notation): string | null {
  const whole = chord + kind;
  const caret = `${chord}^${kind}`;
  const reads = (word: string): boolean => readCell(word, notation).ok;
  if (notation.kind === 'numbers' && !chord.includes('^') && reads(caret)) return caret;
  if (reads(whole)) return whole;
  return otherWriting(whole, notation)?.meant[0] ?? null;
}
