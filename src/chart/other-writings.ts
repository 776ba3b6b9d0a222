import { quoted } from '../base/safe-text.js';
import { quality, qualityBySuffix } from '../theory/quality.js';
import { type Notation, readCell } from './cell.js';

/**
 * A way to write that is common elsewhere and has no meaning here, with what is meant by it: `meant` has one or more writings that
 * read, `says` is the sentence for a person.
 */
export interface OtherWriting {
  readonly meant: readonly string[];
  readonly says: string;
}

/** One row of the table: the words it is for, what they mean (`null` if they are not meant after all), and the sentence about them. */
interface Row {
  readonly pattern: RegExp;
  readonly meant: (match: RegExpExecArray, notation: Notation) => readonly string[] | string | null;
  readonly says: (meant: readonly string[], match: RegExpExecArray) => string;
}

const diamond = '[◇◆◊♢⋄⬦]';

/** What others write, the most special first. */
const rows: readonly Row[] = [
  {
    pattern: /^([b♭#♯]?[1-7])\^?6\/9(.*)$/u,
    meant: ([, degree = '', rest = ''], { kind }) => (kind === 'numbers' ? `${degree}^69${rest}` : null),
    says: ([chord]) => `a slash comes only before a bass; the chord is written “${chord}”`,
  },
  {
    pattern: /^([b♭#♯]?[1-7])\^([b♭#♯])(5|9|11|13)(.*)$/u,
    meant: ([, degree = '', sign = '', figure = '', rest = ''], { kind }) =>
      kind === 'numbers' ? `${degree}^7${/[b♭]/u.test(sign) ? 'b' : '#'}${figure}${rest}` : null,
    says: ([chord]) => `write the seventh, too: “${chord}”`,
  },
  {
    pattern: /^(.*?)(?:\^?(?:fermata|ferm|hold)|𝄐|𝄑)$/iu,
    meant: ([, chord = '']) => (chord === '' ? ['1_'] : `${chord}_`),
    says: ([chord]) => `a chord that is held until it is released is written “${chord}”`,
  },
  {
    pattern: /^(?:%+|𝄎|\.?\/\.|\.\|+\.|\.\/|·\/·|⁒)$/u,
    meant: () => '=',
    says: () => 'a repeat of the bar before is written “=”',
  },
  {
    pattern: /^\/+$/,
    meant: (_, { kind }) => (kind === 'letters' ? ['A', '(A... E.)'] : ['1', '(1... 5.)']),
    says: ([alone, shared]) =>
      `beats are not written as slashes; a chord alone lasts the whole bar, “${alone}”, and in a shared bar it has a dot for each beat, “${shared}”`,
  },
  {
    pattern: /^([1-7])([b♭#♯])$/u,
    meant: ([, degree = '', sign = ''], { kind }) => (kind === 'numbers' ? sign + degree : null),
    says: ([chord]) => `the sharp or flat comes before the degree: “${chord}”`,
  },
  {
    pattern: /^[-–−]([b#]?[1-7].*)$/u,
    meant: ([, chord = ''], { kind }) => (kind === 'numbers' ? chord.replace(/^([b#]?[1-7])/, '$1-') : null),
    says: ([chord]) => `the sign for minor comes after the number: “${chord}”`,
  },
  {
    pattern: /^([^/]+)\/{2,}$/,
    meant: ([, chord = '']) => chord,
    says: ([chord]) =>
      `beats are not written as slashes; a chord alone lasts the whole bar, “${chord}”, and in a shared bar it has a dot for each beat`,
  },
  {
    pattern: new RegExp(`^(?:<([^<>]+)>|<>([^<>]+)|([^<>]+)<>|${diamond}(.+)|(.+)${diamond})$`, 'u'),
    meant: (match) => `${match.slice(1).find((chord) => chord !== undefined)}~`,
    says: ([chord]) => `a chord that is struck once and rings is written “${chord}”`,
  },
  {
    pattern: /^\^([5-7])$/,
    meant: ([, figure = ''], { kind }) => (kind === 'numbers' ? [`'${figure}`, `1^${figure}`] : null),
    says: ([early, quality]) =>
      `a chord that comes early is written “${early}”; the kind of chord comes directly after the number, “${quality}”`,
  },
  {
    pattern: /^\^?([a-zA-Z∆△Δøº°][^.~!/]*)$/u,
    meant: ([, mark = ''], { kind }) => {
      const found = kind === 'numbers' && !/^[A-Ga-goO]$/.test(mark) ? qualityMeant(mark) : null;
      return found ? `1${found}` : null;
    },
    says: ([chord]) => `the kind of chord comes directly after the number: “${chord}”`,
  },
  {
    pattern: /^(?:[<>^→➔➜←‹›«»‘`´,]([^<>]+)|([^<>]+)[<>→←])$/u,
    meant: (match) => `'${match[1] ?? match[2]}`,
    says: ([chord]) => `a chord that comes an eighth early is written “${chord}”`,
  },
  {
    pattern: /^(?:n\/c|n\.?\/c\.?|no-?chord|tacet|rest|[xXzZrR∅𝄽𝄻×])$/iu,
    meant: () => 'nc',
    says: () => 'a bar without a chord is written “nc”',
  },
  {
    pattern: /^[-–—_]+$/u,
    meant: () => ['nc', '='],
    says: () => 'a bar without a chord is written “nc”, and a repeat of the bar before “=”',
  },
  {
    pattern: /^\|*([^|]+(?:\|+[^|]+)*)\|*$/,
    meant: ([word = '', bars = '']) => (word.includes('|') ? bars.split(/\|+/).join(' ') : null),
    says: ([bars]) => `no line is needed between bars; a space is enough: “${bars}”`,
  },
  {
    pattern: /^([b♭#♯]?)(VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)(.*)$/u,
    meant: ([, sign = '', roman = '', rest = ''], { kind }) =>
      kind === 'numbers' ? romanMeant(sign, roman, rest) : null,
    says: ([chord]) => `write a degree as a figure, not as a Roman numeral: “${chord}”`,
  },
  {
    pattern: /^([b♭#♯]?[1-7])([^0-9.~!/][^.~!/]*)(\/[b♭#♯]?[1-7])?([.~!]*)$/u,
    meant: ([, degree = '', mark = '', bass = '', marks = ''], { kind }) => {
      const kindOf = kind === 'numbers' ? qualityMeant(mark) : null;
      return kindOf === null ? null : degree + kindOf + bass + marks;
    },
    says: ([chord]) =>
      `the chord is written “${chord}”: - is minor, o diminished, + augmented, and everything else comes after a caret`,
  },
  {
    pattern: /^([A-Ga-g])([b♭#♯]?)([^.~!/]*)(\/[A-G][b♭#♯]?)?([.~!]*)$/u,
    meant: ([, root = '', sign = '', suffix = '', bass = '', marks = ''], { kind }) => {
      const name = kind === 'letters' ? suffixMeant(suffix) : null;
      return name === null ? null : root.toUpperCase() + sign + name + bass + marks;
    },
    says: ([chord]) => `the chord is written “${chord}”`,
  },
];

/**
 * What is meant by a word that cannot be read; `null` where that is not known. Every writing it gives reads in the same notation,
 * as a bar or as bars.
 *
 * @example otherWriting('2m7', { kind: 'numbers' })?.meant // ['2-^7']
 */
export function otherWriting(word: string, notation: Notation): OtherWriting | null {
  for (const { pattern, meant, says } of rows) {
    const match = pattern.exec(word);
    const found = match && meant(match, notation);
    if (!match || found === null) continue;
    const writings = typeof found === 'string' ? [found] : found;
    const fit = typeof found !== 'string' || found.split(' ').every((bar) => reads(bar, notation));
    if (fit && writings.length > 0)
      return { meant: writings, says: `${quoted(word)}: ${says(writings, match)}` };
  }
  return null;
}

function reads(bar: string, notation: Notation): boolean {
  if (bar === '=') return true;
  const cell = readCell(bar, notation);
  return cell.ok && cell.value.dots === null;
}

/** Signs of other notations as they are written here: triangles, circles, and signs for major. */
function plainSuffix(suffix: string): string {
  return suffix
    .replace(/[∆△▲Δ]7?/gu, 'maj7')
    .replace(/[⌀Øφ∅]/gu, 'ø')
    .replace(/[°º˚]/gu, 'o')
    .replace(/[−–—]/gu, '-')
    .replace(/♭/gu, 'b')
    .replace(/♯/gu, '#');
}

/** The usual names of a quality, for what is written in others; without regard to capitals where that leaves it clear. */
const spellings: readonly (readonly [RegExp, string])[] = [
  [/^(?:major|maj|ma|M)(?=$|7|9|6|13)/, 'maj'],
  [/^(?:MAJ|Maj|MA|Ma|j)(?=$|7|9|6|13)/, 'maj'],
  [/^(?:minor|minus|MIN|Min|min|MI|Mi|mi|-)/, 'm'],
  [/^(?:half-?dim7?|hdim7?|m7-5|m7\(b5\)|m7°5)$/, 'm7b5'],
  [/^(?:diminished|DIM|Dim)/, 'dim'],
  [/^(?:augmented|AUG|Aug|#5$|\+5$)/, 'aug'],
  [/^(?:dominant|dom)/, ''],
  [/^(?:suspended|SUS|Sus)/, 'sus'],
  [/^(?:ADD|Add)/, 'add'],
  [/^2sus/, 'sus2'],
  [/^4sus/, 'sus4'],
  [/^7#5$|^7\+5$|^7aug$/, 'aug7'],
  [/^7-5$/, '7b5'],
  [/^7-9$/, '7b9'],
  [/^7\+9$/, '7#9'],
];

/** The chord suffix that is meant by one in another spelling, or `null`. */
function suffixMeant(written: string): string | null {
  const plain = plainSuffix(written);
  for (const suffix of [plain, respelled(plain), respelled(respelled(plain))]) {
    const found = qualityBySuffix(suffix);
    if (found) return found.suffix;
  }
  return null;
}

function respelled(suffix: string): string {
  return spellings.reduce((text, [pattern, usual]) => text.replace(pattern, usual), suffix);
}

/** The mark after a degree that is meant by one in another spelling, with or without its caret; `null` where none is. */
function qualityMeant(written: string): string | null {
  const [before = '', ...behind] = written.split('^');
  const suffix = suffixMeant(before + behind.join(''));
  const found = suffix === null ? null : qualityBySuffix(suffix);
  return found ? found.mark : null;
}

const romans = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'];

/** A Roman numeral as a number: a small one is minor, unless what follows says otherwise. */
function romanMeant(sign: string, roman: string, rest: string): string | null {
  const degree = sign + (romans.indexOf(roman.toUpperCase()) + 1);
  const [, mark = '', bass = '', marks = ''] = /^([^/~!.]*)(\/.*?)?([~!.]*)$/u.exec(rest) ?? [];
  const isSmall = roman !== roman.toUpperCase();
  const bassRoman = /^\/([b♭#♯]?)([IViv]+)$/u.exec(bass);
  const under = bassRoman
    ? `/${bassRoman[1]}${romans.indexOf((bassRoman[2] ?? '').toUpperCase()) + 1}`
    : bass;
  const own = qualityMeant(mark);
  const minor = isSmall ? qualityMeant(`m${mark}`) : null;
  // A small numeral with a mark that says its third, as in vii° or ii-, needs no other.
  const chosen = isSmall ? (own !== null && saysThird(mark) ? own : minor) : own;
  return chosen === null ? null : degree + chosen + under + marks;
}

function saysThird(mark: string): boolean {
  const found = qualityBySuffix(suffixMeant(mark.replace('^', '')) ?? '');
  return mark !== '' && found !== null && quality(found.id).steps.includes(3);
}

const ordinals = ['1st', '2nd', '3rd', '4th', '5th', '6th', '7th', '8th', '9th'];

/**
 * The beginning of an ending that is meant by one written differently, without its bracket: `1,2`, `1.`, `first`; `null` where that is
 * not known.
 *
 * @example otherEnding('1,2') // '1st,2nd'
 */
export function otherEnding(text: string): string | null {
  if (/^(?:final|end|fine|last\s*x)$/i.test(text)) return 'last';
  const words = ['first', 'second', 'third'];
  const times = text
    .replace(/^(\d)-(\d)$/, (_, from: string, to: string) =>
      Array.from(
        { length: Math.max(0, Number(to) - Number(from) + 1) },
        (_, index) => Number(from) + index,
      ).join(),
    )
    .split(/[,&+/]/)
    .map((one) => {
      const word = words.indexOf(one.toLowerCase().replace(/[.:,]+$/, ''));
      if (word >= 0) return word + 1;
      return Number(/^([1-9])(?:st|nd|rd|th|x|[.):])*[.:]?$/i.exec(one)?.[1] ?? 0);
    })
    .filter((time, index, all) => time > 0 || index < all.length - 1);
  if (times.length === 0 || times.includes(0)) return null;
  return times.map((time) => ordinals[time - 1]).join(',');
}
