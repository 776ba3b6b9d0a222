import { nearest } from '../base/nearest.js';
import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import { qualities, quality, qualityByMark } from './quality.js';

/** A scale degree of the major scale, 1–7, lowered (−1), natural (0) or raised (1). */
export interface Degree {
  readonly degree: number;
  readonly alter: -1 | 0 | 1;
}

/** A chord by number: degree, quality id, and the degree in the bass where it is not the root. */
export interface NumberChord extends Degree {
  readonly quality: string;
  readonly bass: Degree | null;
}

const shape = /^([b♭#♯]?)([0-9])(.*)$/s;

/**
 * Reads a number: `1`, `6-`, `b7`, `#4o`, `5^7`, `1/3`.
 * A fault tells the offset of the first character that does not fit.
 *
 * @example parseNumber('b7') // { ok: true, value: { degree: 7, alter: -1, quality: 'major', bass: null } }
 */
export function parseNumber(text: string): Outcome<NumberChord> {
  const match = shape.exec(text);
  if (!match)
    return misread(`${quoted(text)} is not a number; a bar is a degree from 1 to 7: 1, 6-, b7, 5^7`);
  const [, sign = '', digit = '', rest = ''] = match;
  const degree = Number(digit);
  const after = sign.length + 1;
  if (degree < 1 || degree > 7)
    return misread(`there is no degree ${digit}; degrees go from 1 to 7`, sign.length);
  if (/^[0-9]/.test(rest)) return twoDigits(sign + digit, rest, after);
  const slash = rest.indexOf('/');
  const mark = slash < 0 ? rest : rest.slice(0, slash);
  const kind = qualityByMark(mark.replace('°', 'o').replace('♭', 'b').replace('♯', '#'));
  if (!kind) return badMark(sign + digit, mark, after);
  const bass = slash < 0 ? good(null) : parseDegree(rest.slice(slash + 1), after + slash + 1);
  if (!bass.ok) return bass;
  return good({ degree, alter: alterOf(sign), quality: kind.id, bass: bass.value });
}

function parseDegree(text: string, at: number): Outcome<Degree> {
  if (text === '') return misread('a degree is missing after the slash; write it as 1/3', at);
  const match = /^([b♭#♯]?)([1-7])$/.exec(text);
  if (!match) return misread(`${quoted(text)} is not a degree for a bass; write it as 1/3 or 1/b7`, at);
  return good({ degree: Number(match[2]), alter: alterOf(match[1] ?? '') });
}

function alterOf(sign: string): -1 | 0 | 1 {
  if (sign === '') return 0;
  return sign === 'b' || sign === '♭' ? -1 : 1;
}

function twoDigits(head: string, rest: string, at: number): Outcome<never> {
  const together = head + rest;
  if (qualityByMark(`^${rest}`) && /^[1-7]$/.test(rest)) {
    return misread(
      `${quoted(together)} can be read two ways: two bars are written “${head} ${rest}”, one chord “${head}^${rest}”`,
      at,
    );
  }
  if (qualityByMark(`^${rest}`))
    return misread(`${quoted(together)} needs a caret before the ${quoted(rest)}: “${head}^${rest}”`, at);
  if (/^[1-7]{1,8}$/.test(rest)) {
    return misread(
      `${quoted(together)} runs bars together; write one number for each bar: “${[head, ...rest].join(' ')}”`,
      at,
    );
  }
  return misread(
    `${quoted(together)} is not a number; write a caret before what follows the degree, as in 5^7`,
    at,
  );
}

function badMark(head: string, mark: string, at: number): Outcome<never> {
  const bare = mark.replace(/^\^/, '');
  if (qualityByMark(`^${bare}`))
    return misread(`${quoted(head + mark)} needs a caret before “${bare}”: “${head}^${bare}”`, at);
  const minor = /^(?:m|min|mi)(7|6|9|7b5|maj7)?$/.exec(bare);
  if (minor)
    return misread(
      `${quoted(head + mark)}: minor is written with a dash: “${head}-${minor[1] ? `^${minor[1]}` : ''}”`,
      at,
    );
  const dash = /^-(7|6|9|7b5|maj7)$/.exec(mark);
  if (dash) return misread(`${quoted(head + mark)} needs a caret after the dash: “${head}-^${dash[1]}”`, at);
  const near = nearest(
    mark,
    qualities.map((one) => one.mark).filter((one) => one.length > 1),
  );
  const hint = near
    ? `; did you mean “${head}${near}”?`
    : '; use - o + or, after a caret, 7 maj7 6 9 sus4 add9 …';
  return misread(`${quoted(mark)} is not a quality${hint}`, at);
}

/** A degree in ASCII: `b7`. */
export function degreeText(degree: Degree): string {
  return (degree.alter === -1 ? 'b' : degree.alter === 1 ? '#' : '') + degree.degree;
}

/** A number as it is written in a chart, in ASCII: `b7`, `6-^7`, `1/3`. `parseNumber` reads it back. */
export function numberText(number: NumberChord): string {
  return (
    degreeText(number) + quality(number.quality).mark + (number.bass ? `/${degreeText(number.bass)}` : '')
  );
}
