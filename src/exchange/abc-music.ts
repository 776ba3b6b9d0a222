import type { Place } from '../chart/chart.js';
import { usualTime } from '../chart/tune/note-lengths.js';

/** A note as it is written: its place on the staff (C4 is 28), the accidental with it, whether it is tied, whether others sound with it. */
export interface AbcNote {
  readonly step: number;
  readonly alter: number | null;
  readonly tie: boolean;
  readonly others: boolean;
}

/** One thing in a line of ABC music that concerns a lead sheet. Lengths are multiples of the unit note length. */
export type AbcToken = { readonly place: Place } & (
  | { readonly kind: 'time'; readonly length: number; readonly note: AbcNote | null }
  | { readonly kind: 'bars'; readonly count: number }
  | { readonly kind: 'quoted'; readonly text: string }
  | {
      readonly kind: 'bar';
      readonly closes: number | null;
      readonly opens: boolean;
      readonly double: boolean;
    }
  | { readonly kind: 'ending'; readonly times: readonly number[] }
  | { readonly kind: 'field'; readonly name: string; readonly text: string }
  /** A sign on a note or bar line, by its name: `!segno!`, `H` is `fermata`. */
  | { readonly kind: 'decoration'; readonly name: string }
  | { readonly kind: 'grace' }
  /** A tie that comes after the note's end, with something between: the last note of the bar goes on. */
  | { readonly kind: 'tie' }
  /** Another voice of the same bar begins. */
  | { readonly kind: 'overlay' }
  | { readonly kind: 'unknown'; readonly text: string }
);

/** Notes of a tuplet take the time of others: how much of their length, by how many there are (ABC 2.1, 4.13). */
function tupletShare(p: number, q: number | null, compound: boolean): number {
  return (q ?? usualTime(p, compound)) / p;
}

const alters: Readonly<Record<string, number>> = { '^': 1, '^^': 2, _: -1, __: -2, '=': 0 };

/** A note's place on the staff and its accidental. */
function noteOf(sign: string | undefined, letter: string, marks: string): Omit<AbcNote, 'tie' | 'others'> {
  const moved = [...marks.slice(0, 8)].reduce((sum, mark) => sum + (mark === "'" ? 1 : -1), 0);
  const octave = (letter === letter.toUpperCase() ? 4 : 5) + moved;
  const step = 7 * octave + 'CDEFGAB'.indexOf(letter.toUpperCase());
  return { step: Math.max(0, Math.min(69, step)), alter: sign === undefined ? null : (alters[sign] ?? 0) };
}

/** Signs that are one character (ABC 2.1, 4.14). */
const signNames: Readonly<Record<string, string>> = {
  '.': 'staccato',
  '~': 'roll',
  H: 'fermata',
  L: 'accent',
  M: 'lowermordent',
  O: 'coda',
  P: 'uppermordent',
  S: 'segno',
  T: 'trill',
  u: 'upbow',
  v: 'downbow',
};

/** A token begins where it is looked for (`y`). */
const sticky = (pattern: string): RegExp => new RegExp(pattern, 'uy');
const patterns = {
  space: sticky('[\\s`]+'),
  field: sticky('\\[([A-Za-z]):([^\\]]*)\\]'),
  quoted: sticky('"([^"]*)"'),
  decoration: sticky('![^!\\s]{0,100}!|\\+[A-Za-z<>^()]{1,100}\\+|[.~HLMOPSTuv]'),
  grace: sticky('\\{[^}]*\\}'),
  bar: sticky(':*(?:\\[?\\|+[\\]|]*|\\|?\\])?:*'),
  ending: sticky('\\[?\\s*([0-9]+(?:[,-][0-9]+)*)'),
  note: sticky("(\\^{1,2}|_{1,2}|=)?([A-Ga-g])([,']*)"),
  tie: sticky('-'),
  rest: sticky('[zx]'),
  bars: sticky('[ZX]([0-9]*)'),
  chord: sticky('\\[((?:[^\\]"]|"[^"]{0,200}"){0,100})\\]'),
  length: sticky('([0-9]*)(\\/*)([0-9]*)'),
  tuplet: sticky('\\(([2-9])(?::([0-9]*))?(?::([0-9]*))?'),
  overlay: sticky('&+'),
  other: sticky('(?:[()J$*;\\\\]|y[0-9]*)'),
  broken: sticky('\\s*(<{1,3}|>{1,3})'),
  endingSign: sticky('\\[\\s*[0-9]'),
  barSign: sticky(':*\\[?\\||:+|\\|?\\]'),
} as const;

/** The closing sign of a pair of signs, and how far ahead it is looked for. */
const closedBy: Partial<Record<keyof typeof patterns, string>> = {
  field: ']',
  quoted: '"',
  grace: '}',
  chord: ']',
};
const longestBetween = 500;

/** Reads a line of ABC music (ABC 2.1, section 4). Never throws; what it cannot place is `unknown`. */
export function abcMusic(text: string, line: number, compound: boolean): readonly AbcToken[] {
  const tokens: AbcToken[] = [];
  let at = 0;
  let tuplet: { share: number; left: number } | null = null;
  let broken = 1;
  const next = new Map<string, number>();
  /** Whether a sign stands near enough after; where it was found is kept, so that a line is looked through once for each. */
  const isNear = (sign: string): boolean => {
    let found = next.get(sign) ?? 0;
    if (found <= at && found >= 0) {
      found = text.indexOf(sign, at + 1);
      next.set(sign, found);
    }
    return found > at && found - at <= longestBetween;
  };
  const take = (name: keyof typeof patterns): RegExpExecArray | null => {
    const closes = closedBy[name];
    if (closes !== undefined && !isNear(closes)) return null;
    const pattern = patterns[name];
    pattern.lastIndex = at;
    const match = pattern.exec(text);
    if (!match || match[0] === '') return null;
    at += match[0].length;
    return match;
  };
  const length = (): number => {
    const [, upper = '', slashes = '', lower = ''] = take('length') ?? [];
    const number = upper === '' ? 1 : Number(upper);
    const under = slashes === '' ? 1 : lower === '' ? 2 ** slashes.length : Number(lower);
    return lengthOf(number, under);
  };
  /** A note's time, with the tuplet and the broken rhythm it stands in. */
  const time = (
    sounding: (Omit<AbcNote, 'tie'> & { readonly tie?: boolean }) | null,
    own: number,
    place: Place,
  ): void => {
    const tied = take('tie') !== null;
    let value = own * broken;
    broken = 1;
    if (tuplet) {
      value *= tuplet.share;
      tuplet = tuplet.left > 1 ? { ...tuplet, left: tuplet.left - 1 } : null;
    }
    const marks = take('broken')?.[1] ?? '';
    if (marks !== '') {
      const short = 1 / 2 ** marks.length;
      value *= marks[0] === '>' ? 2 - short : short;
      broken = marks[0] === '>' ? short : 2 - short;
    }
    const tie = tied || sounding?.tie === true || (marks !== '' && take('tie') !== null);
    tokens.push({ kind: 'time', length: value, note: sounding && { ...sounding, tie }, place });
  };
  /** Whether something is next, without taking it. */
  const sees = (name: keyof typeof patterns): boolean => {
    const pattern = patterns[name];
    pattern.lastIndex = at;
    return pattern.test(text);
  };
  let counted = 0;
  let column = 1;
  let behindBar = false;
  while (at < text.length) {
    // Columns count characters; only what is new since the last token is looked at.
    for (; counted < at; counted += 1) if (!isSecondHalf(text.charCodeAt(counted))) column += 1;
    const place: Place = { line, column };
    if (take('space')) continue;
    const wasBar = behindBar;
    behindBar = false;
    const field = take('field');
    if (field) {
      tokens.push({ kind: 'field', name: field[1] ?? '', text: (field[2] ?? '').trim(), place });
      continue;
    }
    const quoted = take('quoted');
    if (quoted) {
      tokens.push({ kind: 'quoted', text: quoted[1] ?? '', place });
      continue;
    }
    const tuple = take('tuplet');
    if (tuple) {
      const p = Number(tuple[1]);
      const q = tuple[2] ? Number(tuple[2]) : null;
      const r = tuple[3] ? Number(tuple[3]) : p;
      tuplet = { share: tupletShare(p, q, compound), left: Math.max(1, Math.min(64, r)) };
      continue;
    }
    if (take('grace')) {
      tokens.push({ kind: 'grace', place });
      continue;
    }
    const sign = take('decoration')?.[0];
    if (sign !== undefined) {
      tokens.push({ kind: 'decoration', name: signNames[sign] ?? sign.slice(1, -1), place });
      continue;
    }
    // An ending's number may come directly after a bar line, or after a bracket: `|1`, `[1,3`.
    if (wasBar || sees('endingSign')) {
      const ending = take('ending');
      if (ending) {
        tokens.push({ kind: 'ending', times: endingTimes(ending[1] ?? ''), place });
        continue;
      }
    }
    const bar = sees('barSign') ? take('bar') : null;
    if (bar) {
      behindBar = true;
      tokens.push(barToken(bar[0], place));
      continue;
    }
    const bars = take('bars');
    if (bars) {
      tokens.push({ kind: 'bars', count: Math.max(1, Math.min(64, Number(bars[1] || 1))), place });
      continue;
    }
    const chord = take('chord');
    if (chord) {
      const inner = chordLength(chord[1] ?? '');
      for (const symbol of (chord[1] ?? '').matchAll(/"([^"]*)"/g))
        tokens.push({ kind: 'quoted', text: symbol[1] ?? '', place });
      const outer = length();
      const highest = highestNote(chord[1] ?? '');
      time(highest, inner * outer, place);
      continue;
    }
    const note = take('note');
    if (note) {
      const sounding = { ...noteOf(note[1], note[2] ?? 'C', note[3] ?? ''), others: false };
      time(sounding, length(), place);
      continue;
    }
    if (take('rest')) {
      time(null, length(), place);
      continue;
    }
    if (take('overlay')) {
      tokens.push({ kind: 'overlay', place });
      continue;
    }
    if (take('tie')) {
      tokens.push({ kind: 'tie', place });
      continue;
    }
    if (take('other')) continue;
    const character = String.fromCodePoint(text.codePointAt(at) ?? 0);
    at += Math.max(1, character.length);
    tokens.push({ kind: 'unknown', text: character, place });
  }
  return tokens;
}

/** The second half of a character that takes two places in a JavaScript string. */
function isSecondHalf(code: number): boolean {
  return code >= 0xdc00 && code <= 0xdfff;
}

/** A length that can be used in sums: a millionth to a million units, whatever figures are written. */
function lengthOf(upper: number, lower: number): number {
  return upper > 0 && lower > 0 ? Math.min(upper, 1e6) / Math.min(lower, 1e6) : 1;
}

/** The highest of the notes in a chord's brackets, whether it is tied there. `null` where there are rests only. */
function highestNote(inside: string): AbcNote | null {
  const plain = inside.replace(/"[^"]*"/g, '');
  const notes = [...plain.matchAll(/(\^{1,2}|_{1,2}|=)?([A-Ga-g])([,']*)[0-9/]*(-?)/g)].map(
    ([, sign, letter = 'C', marks = '', tie]) => ({ ...noteOf(sign, letter, marks), tie: tie === '-' }),
  );
  const [first] = notes;
  if (!first) return null;
  const highest = notes.reduce((high, note) => (note.step > high.step ? note : high), first);
  return { ...highest, others: notes.length > 1 };
}

/** The length of the first note inside a chord's brackets. */
function chordLength(inside: string): number {
  const [, upper = '', slashes = '', lower = ''] =
    /(?:\^{1,2}|_{1,2}|=)?[A-Ga-gzx][,']*([0-9]*)(\/*)([0-9]*)/.exec(inside) ?? [];
  const number = upper === '' ? 1 : Number(upper);
  const under = slashes === '' ? 1 : lower === '' ? 2 ** slashes.length : Number(lower);
  return lengthOf(number, under);
}

/** `:|`, `|:`, `::`, `||`, `|]`: what it ends, and what it begins. Colons before say how often: `::|` three times. */
function barToken(text: string, place: Place): AbcToken {
  const before = /^:*/.exec(text)?.[0].length ?? 0;
  const only = /^:+$/.test(text);
  const after = only ? text.length - Math.ceil(text.length / 2) : (/:*$/.exec(text)?.[0].length ?? 0);
  const closes = only ? Math.ceil(text.length / 2) : before;
  return {
    kind: 'bar',
    closes: closes > 0 ? closes + 1 : null,
    opens: after > 0,
    double: /\|\||\]|\[\|/.test(text),
    place,
  };
}

function endingTimes(text: string): readonly number[] {
  const times = text.split(',').flatMap((part) => {
    const [from = 1, to = from] = part.split('-').map(Number);
    return Array.from({ length: Math.max(0, Math.min(16, to - from + 1)) }, (_, index) => from + index);
  });
  return times.filter((time) => time >= 1 && time <= 16);
}
