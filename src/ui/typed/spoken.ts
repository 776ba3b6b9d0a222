import type { PlayedCell } from '../../chart/chart.js';
import type { Frets } from '../../hand/fingering.js';
import { type Chord, parseChord } from '../../theory/chord.js';
import type { Key } from '../../theory/key.js';
import { type NumberChord, parseNumber } from '../../theory/number.js';
import { qualities, quality } from '../../theory/quality.js';

/*
 * Signs as words: a screen reader passes over “♭”, says “number” for “#” and “dash” for “-”, or nothing.
 */

/** A note or a key's tonic: `B flat`. */
export function spokenNote(name: string): string {
  return name.replace(/([#♯])|([b♭])/gu, (_, sharp) => (sharp ? ' sharp' : ' flat'));
}

/** A key: `A`, `F sharp minor`. */
export function spokenKey({ tonic, mode }: Key): string {
  return `${spokenNote(tonic)}${mode === 'minor' ? ' minor' : ''}`;
}

const steps: Readonly<Record<string, string>> = {
  '69': 'sixth ninth',
  '13': 'thirteenth',
  '11': 'eleventh',
  '9': 'ninth',
  '7': 'seventh',
  '6': 'sixth',
  '5': 'fifth',
};

/** What a quality is called after a root; empty for a major chord. */
export function spokenQuality(id: string): string {
  const { suffix } = quality(id);
  return [...suffix.matchAll(/maj|dim|aug|sus|add|m|[b#]\d+|(?<=sus|add)\d|69|13|11|\d/g)]
    .map(([part]) => qualityPart(part, suffix))
    .join(' ')
    .replace(/suspended (\w+)/, (_, step) => `suspended ${step}`);
}

function qualityPart(part: string, suffix: string): string {
  switch (part) {
    case 'maj':
      return 'major';
    case 'm':
      return 'minor';
    case 'dim':
      return 'diminished';
    case 'aug':
      return 'augmented';
    case 'sus':
      return 'suspended';
    case 'add':
      return 'with added';
  }
  if (part.startsWith('b')) return `flat ${part.slice(1)}`;
  if (part.startsWith('#')) return `sharp ${part.slice(1)}`;
  if (suffix === '5') return 'without third';
  return steps[part] ?? part;
}

/** A chord by letters: `F sharp minor`, `D seventh over A`. */
export function spokenChord(chord: Chord): string {
  const bass = chord.bass ? ` over ${spokenNote(chord.bass)}` : '';
  return `${spokenNote(chord.root)} ${spokenQuality(chord.quality)}`.trim() + bass;
}

/** A chord as it is written by letters, in words; what is none stays as it is. */
export function spokenLetters(text: string): string {
  const read = parseChord(text);
  return read.ok ? spokenChord(read.value) : spokenNote(text);
}

/** A degree: `4`, `flat 7`. */
export function spokenDegree({ degree, alter }: Pick<NumberChord, 'degree' | 'alter'>): string {
  return `${alter < 0 ? 'flat ' : alter > 0 ? 'sharp ' : ''}${degree}`;
}

/** A number: `6 minor`, `flat 7`, `5 seventh`. */
export function spokenNumber(number: NumberChord): string {
  const bass = number.bass ? ` over ${spokenDegree(number.bass)}` : '';
  return `${spokenDegree(number)} ${spokenQuality(number.quality)}`.trim() + bass;
}

/** A number with a sign, as it is written in a text: `6-`, `b7`, `2^7`. */
const written = /(?<![\w#^/-])(?:[b#][1-7][-o+^\w]*|[1-7][-o+^][-+^#\w]*)/g;

/** A text in which numbers are written, with their signs in words: `1, 4 and flat 7`. */
export function spokenWritten(text: string): string {
  return text.replace(written, (one) => {
    const read = parseNumber(one);
    return read.ok ? spokenNumber(read.value) : one;
  });
}

/** A number in words as it is written, `6 minor` as `6-`; what is none stays as it is. */
export function writtenNumber(text: string): string {
  const [, sign, degree = '', kind = ''] =
    /^(?:(flat|sharp) )?([1-7])(?: (.+))?$/.exec(text.toLowerCase()) ?? [];
  const found = qualities.find(({ id }) => spokenQuality(id) === kind);
  if (degree === '' || !found) return text;
  return `${sign === 'flat' ? 'b' : sign === 'sharp' ? '#' : ''}${degree}${found.mark}`;
}

/** What is said of how a chord is struck; empty for most. */
export function spokenMarks(
  cell: Pick<PlayedCell, 'early' | 'ending'> & { readonly hold?: unknown },
): string {
  const ending =
    cell.hold === undefined ? { plain: '', ring: ', ringing', stop: ', stopped' }[cell.ending] : ', held';
  return `${cell.early ? ', early' : ''}${ending}`;
}

/** The frets of a shape, low course first; `x` is a course that is not struck. */
export function spokenFrets(frets: Frets): string {
  return frets.map((fret) => (fret === null ? 'x' : String(fret))).join(' ');
}

/** How many there are of something. */
export function counted(count: number, one: string, more = `${one}s`): string {
  return `${count} ${count === 1 ? one : more}`;
}

/**
 * What the stand says of keys, and what is typed instead. Each begins from a text that the stand has: a test compares them with the
 * sources, so that neither is changed without the other.
 */
export const keyWords: readonly (readonly [RegExp, string])[] = [
  [/; (?:z ends it at a bar|x removes it)$/, ''],
  [/^Esc again leaves the (set|band)\b/, 'leave, typed again, leaves the $1'],
  [
    /^Esc again loses what was written down; Enter keeps it$/,
    'leave, typed again, loses what was written down; done TITLE keeps it',
  ],
  [/: b and Enter save it, Esc again drops it$/, ': save saves it; leave, typed again, drops it'],
  [/; r takes back what was written$/, '; undo writing takes back what was written'],
  [/; U takes it back$/, '; undo takes it back'],
  [/, press Space to go on$/, ', play goes on'],
  [/; Space begins again$/, '; play begins again'],
  [/; m if it was not$/, '; no if it was not'],
  [/; j if it was$/, '; yes if it was'],
  [/^you play alone: l leads a band$/, 'you play alone: lead leads a band'],
  [/: press B, then l, to lead$/, ': lead takes the lead'],
  [/; press B for the requests$/, '; band lists the requests'],
  [/^this is the first list; Ctrl-C leaves$/, 'this is the first list; quit leaves'],
  [/^you lead: in a set, g opens the running order$/, 'you lead: in a set, order lists the songs'],
  [/; o leaves it$/, '; leave band leaves it'],
  [/ Enter again: none$/, ' The same command again: none'],
  [/; silent here: o for sound$/, '; silent here: output sound lets it be heard'],
  [/^keep tapping, once a beat$/, 'keep tapping, once a beat: Enter on an empty line'],
];

/** Keys and chords, written by letters, in what is said of one that was taken back. */
const keyBack = /^(key back to )([A-G][b#]?m?), from ([A-G][b#]?m?)(?=$|[:;])/;
const shapeBack = /^(\S+)(?= back to the (?:planned )?shape\b)/;

/** A line of the stand's, without the keys that it names, and with its signs in words. */
export function withoutKeys(text: string): string {
  const plain = keyWords
    .reduce((said, [key, word]) => said.replace(key, word), text)
    .replace(keyBack, (_, back, to, from) => `${back}${spokenLetters(to)}, from ${spokenLetters(from)}`)
    .replace(shapeBack, (chord) => spokenLetters(chord));
  return plain
    .replace(/ ?[♭♯]/gu, (sign) => (sign.includes('♭') ? ' flat' : ' sharp'))
    .replace(/(?<=\d)–(?=\d)/g, ' to ');
}
