import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import { parseChord, toNumber } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { type NumberChord, parseNumber } from '../theory/number.js';
import type { CellEnding, WrittenCell } from './chart.js';

/** How a section is written: in numbers, or in letters read against a key. */
export type Notation = { readonly kind: 'numbers' } | { readonly kind: 'letters'; readonly key: Key };

/** The most felt beats that a held chord may take. */
export const mostHold = 64;

/** Whether a word looks like a chord in letters rather than a number; decides how a section is read. */
export function looksLikeLetters(word: string): boolean {
  return /^['’]?[A-G]/.test(word);
}

/** Whether a word looks like a number. */
export function looksLikeNumber(word: string): boolean {
  return /^['’]?[b♭#♯]?[0-9]/.test(word);
}

/**
 * Reads one chord with its marks, in any order: `1`, `'4`, `6-~`, `5!`, `1_`, `1_6`, `1...`, `nc`.
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
      `${quoted(marks)} has two marks that exclude each other; a chord rings (~), stops (!) or is held (_)`,
      offset + body.length,
    );
  }
  const chord = readChordBody(body, notation);
  if (!chord.ok) return { ok: false, fault: { at: chord.fault.at + offset, message: chord.fault.message } };
  const dots = [...marks].filter((mark) => mark === '.').length;
  const cell = { chord: chord.value, dots: dots === 0 ? null : dots, early: early !== '', ending };
  const held = /_(\d*)/.exec(marks);
  if (!held) return good(cell);
  const at = offset + body.length + held.index;
  if (chord.value === null)
    return misread(`${quoted(word)} has no chord to hold; to stop the band, write @wait after the bar`, at);
  const beats = held[1] === '' ? null : Number(held[1]);
  if (beats !== null && (beats < 1 || beats > mostHold)) {
    return misread(
      `${quoted(held[0])} does not say how long to hold; write _ alone, or add the chord’s whole length in beats when nobody releases it, from 1 to ${mostHold}: 1_6`,
      at,
    );
  }
  return good({ ...cell, hold: { beats } });
}

/** Takes a word apart: early mark, chord, and the marks after it. The full stops of `n.c.` are its own. */
function cutMarks(word: string): { early: string; body: string; marks: string } {
  const early = /^['’]/.test(word) ? (word[0] as string) : '';
  const named = /^(?:nc|n\.c\.?)/i.exec(word.slice(early.length, early.length + 4))?.[0] ?? '';
  const least = early.length + named.length;
  let end = word.length;
  for (;;) {
    while (end > least && '~!._'.includes(word[end - 1] as string)) end -= 1;
    // Figures belong to a mark only after the sign of a held chord; elsewhere they belong to the chord.
    let sign = end;
    while (sign > least && /\d/.test(word[sign - 1] as string)) sign -= 1;
    if (sign === end || sign === least || word[sign - 1] !== '_') break;
    end = sign;
  }
  return { early, body: word.slice(early.length, end), marks: word.slice(end) };
}

function endingOf(marks: string): CellEnding | null {
  const [said, another] = [...marks].filter((mark) => mark !== '.' && !/\d/.test(mark));
  if (another !== undefined) return null;
  return said === undefined ? 'plain' : said === '!' ? 'stop' : 'ring';
}

function readChordBody(body: string, notation: Notation): Outcome<NumberChord | null> {
  if (/^n\.?c\.?$/i.test(body)) return good(null);
  if (notation.kind === 'letters') {
    if (looksLikeNumber(body)) {
      return misread(
        `${quoted(body)} is a number in a section of letters; write the whole section in letters or in numbers`,
      );
    }
    const chord = parseChord(body);
    return chord.ok ? good(toNumber(chord.value, notation.key)) : chord;
  }
  if (looksLikeLetters(body)) {
    return misread(
      `${quoted(body)} is a letter in a section of numbers; write the whole section in numbers or in letters`,
    );
  }
  if (/^[a-g]$/.test(body))
    return misread(
      `${quoted(body)} is not a number; write a degree from 1 to 7, or a chord with a capital letter`,
    );
  if (/^[lI]$/.test(body)) return misread(`${quoted(body)} is a letter; did you mean the figure “1”?`);
  if (/^[oO]$/.test(body))
    return misread(`${quoted(body)} is not a number; a bar without a chord is written nc`);
  return parseNumber(body);
}
