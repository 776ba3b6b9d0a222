import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import { parseChord, toNumber } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { type NumberChord, parseNumber } from '../theory/number.js';
import type { CellEnding, WrittenCell } from './chart.js';

/** How a section is written: in numbers, or in letters read against a key. */
export type Notation = { readonly kind: 'numbers' } | { readonly kind: 'letters'; readonly key: Key };

/** Whether a word looks like a chord in letters rather than a number; decides how a section is read. */
export function looksLikeLetters(word: string): boolean {
  return /^['’]?[A-G]/.test(word);
}

/** Whether a word looks like a number. */
export function looksLikeNumber(word: string): boolean {
  return /^['’]?[b♭#♯]?[0-9]/.test(word);
}

/**
 * Reads one chord with its marks: `1`, `'4`, `6-~`, `5!`, `1...`, `nc`.
 *
 * @example readCell("'4~", { kind: 'numbers' }) // early, left to ring
 */
export function readCell(word: string, notation: Notation): Outcome<WrittenCell> {
  const { early, body, marks } = cutMarks(word);
  const offset = early.length;
  if (body === '') return misread(`${quoted(word)} has no chord; a mark goes with a chord: '4, 1~, 5!, 1...`);
  const ending = endingOf(marks);
  if (ending === null) {
    return misread(
      `${quoted(marks)} says two things; a chord either rings (~) or stops (!)`,
      offset + body.length,
    );
  }
  const chord = readChordBody(body, notation);
  if (!chord.ok) return { ok: false, fault: { at: chord.fault.at + offset, message: chord.fault.message } };
  const dots = [...marks].filter((mark) => mark === '.').length;
  return good({ chord: chord.value, dots: dots === 0 ? null : dots, early: early !== '', ending });
}

/** Takes a word apart: early mark, chord, and the marks behind it. The full stops of `n.c.` are its own. */
function cutMarks(word: string): { early: string; body: string; marks: string } {
  const early = /^['’]/.test(word) ? (word[0] as string) : '';
  const named = /^(?:nc|n\.c\.?)/i.exec(word.slice(early.length, early.length + 4))?.[0] ?? '';
  const least = early.length + named.length;
  let end = word.length;
  while (end > least && '~!.'.includes(word[end - 1] as string)) end -= 1;
  return { early, body: word.slice(early.length, end), marks: word.slice(end) };
}

function endingOf(marks: string): CellEnding | null {
  const tildes = marks.split('~').length - 1;
  const stops = marks.split('!').length - 1;
  if (tildes + stops > 1) return null;
  return tildes === 1 ? 'ring' : stops === 1 ? 'stop' : 'plain';
}

function readChordBody(body: string, notation: Notation): Outcome<NumberChord | null> {
  if (/^n\.?c\.?$/i.test(body)) return good(null);
  if (notation.kind === 'letters') {
    if (looksLikeNumber(body)) {
      return misread(
        `${quoted(body)} is a number in a section of letters; a section is written in one or the other`,
      );
    }
    const chord = parseChord(body);
    return chord.ok ? good(toNumber(chord.value, notation.key)) : chord;
  }
  if (looksLikeLetters(body)) {
    return misread(
      `${quoted(body)} is a letter in a section of numbers; a section is written in one or the other`,
    );
  }
  if (/^[a-g]$/.test(body))
    return misread(`${quoted(body)} is no number; a bar is a degree from 1 to 7, and letters are capitals`);
  if (/^[lI]$/.test(body)) return misread(`${quoted(body)} is a letter; did you mean the figure “1”?`);
  if (/^[oO]$/.test(body))
    return misread(`${quoted(body)} is no number; a bar without a chord is written nc`);
  return parseNumber(body);
}
