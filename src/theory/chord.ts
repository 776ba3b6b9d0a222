import { distance, simplify, transpose } from '@tonaljs/note';
import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import type { Key } from './key.js';
import type { Degree, NumberChord } from './number.js';
import { pitchClass } from './pitch.js';
import { quality, qualityBySuffix } from './quality.js';

/** A chord by letters: root and bass are note names in ASCII (`Ab`), the quality an id. */
export interface Chord {
  readonly root: string;
  readonly quality: string;
  readonly bass: string | null;
}

const majorScale = [0, 2, 4, 5, 7, 9, 11];
const majorIntervals = ['1P', '2M', '3M', '4P', '5P', '6M', '7M'];
/** How players name the twelve places of a key when the spelling does not decide it (common practice). */
const usualDegrees: readonly Degree[] = [
  [1, 0],
  [2, -1],
  [2, 0],
  [3, -1],
  [3, 0],
  [4, 0],
  [4, 1],
  [5, 0],
  [6, -1],
  [6, 0],
  [7, -1],
  [7, 0],
].map(([degree, alter]) => ({ degree: degree as number, alter: alter as -1 | 0 | 1 }));

/**
 * The note of a degree in a key, spelled as a musician would: 4 of E♭ is A♭, and a double accidental
 * gives way to the plain note.
 *
 * @example degreeNote({ degree: 4, alter: 0 }, { tonic: 'Eb', mode: 'major' }) // 'Ab'
 */
export function degreeNote(degree: Degree, key: Key): string {
  const name = `${key.tonic} ${degree.degree} ${degree.alter}`;
  const known = spelled.get(name);
  if (known !== undefined) return known;
  const note = spellDegree(degree, key);
  spelled.set(name, note);
  return note;
}

/** Notes worked out before: there are 21 degrees in some thirty keys, and a pass asks for thousands. */
const spelled = new Map<string, string>();

function spellDegree(degree: Degree, key: Key): string {
  const natural = transpose(key.tonic, majorIntervals[degree.degree - 1] as string);
  const altered = degree.alter === 0 ? natural : alterNote(natural, degree.alter);
  return /##|bb/.test(altered) ? simplify(altered) : altered;
}

function alterNote(note: string, by: -1 | 1): string {
  const opposite = by === 1 ? 'b' : '#';
  if (note.endsWith(opposite)) return note.slice(0, -1);
  return note + (by === 1 ? '#' : 'b');
}

/** Puts a number into a key. */
export function toChord(number: NumberChord, key: Key): Chord {
  return {
    root: degreeNote(number, key),
    quality: number.quality,
    bass: number.bass ? degreeNote(number.bass, key) : null,
  };
}

/** Reads a note name as a degree of a key; the spelling decides between ♯4 and ♭5 where it can. */
export function noteDegree(note: string, key: Key): Degree {
  const letters = distance(key.tonic, note);
  const step = Number(/\d+/.exec(letters)?.[0] ?? 1);
  const degree = ((step - 1) % 7) + 1;
  const halfSteps = (pitchClass(note) - pitchClass(key.tonic) + 12) % 12;
  const alter = ((halfSteps - (majorScale[degree - 1] as number) + 18) % 12) - 6;
  if (
    alter === 0 ||
    (alter === -1 && degree !== 1 && degree !== 4) ||
    (alter === 1 && degree !== 3 && degree !== 7)
  ) {
    return { degree, alter };
  }
  return usualDegrees[halfSteps] as Degree;
}

/** Turns a chord in letters into a number of the key. `toChord` gives the same sound back. */
export function toNumber(chord: Chord, key: Key): NumberChord {
  return {
    ...noteDegree(chord.root, key),
    quality: chord.quality,
    bass: chord.bass === null ? null : noteDegree(chord.bass, key),
  };
}

/**
 * Reads a chord in letters: `A`, `F#m`, `Bb7`, `D/F#`. Roots are capitals.
 *
 * @example parseChord('F#m7') // { ok: true, value: { root: 'F#', quality: 'm7', bass: null } }
 */
export function parseChord(text: string): Outcome<Chord> {
  const match = /^([A-G])([#b♯♭]?)(.*?)(?:\/([A-G])([#b♯♭]?))?$/s.exec(text);
  if (!match) {
    const small = /^[a-g]/.test(text) ? '; the root is a capital letter' : '';
    return misread(
      `${quoted(text)} is not a chord${small}; a chord starts with a capital letter: A, F#m, Bb7, D/F#`,
    );
  }
  const [, letter = '', sign = '', suffix = '', bassLetter, bassSign = ''] = match;
  const kind = qualityBySuffix(suffix.replace('♭', 'b').replace('♯', '#'));
  if (!kind) {
    return misread(
      `${quoted(suffix)} is not a chord quality; use m 7 m7 maj7 6 sus4 dim aug …`,
      letter.length + sign.length,
    );
  }
  const plain = (note: string): string => note.replace('♯', '#').replace('♭', 'b');
  return good({
    root: plain(letter + sign),
    quality: kind.id,
    bass: bassLetter === undefined ? null : plain(bassLetter + bassSign),
  });
}

/** The chord in ASCII: `F#m7`, `D/F#`. */
export function chordName(chord: Chord): string {
  return chord.root + quality(chord.quality).suffix + (chord.bass ? `/${chord.bass}` : '');
}

/** The pitch classes of a chord, root first; the bass note is not added. */
export function chordTones(chord: Chord): readonly number[] {
  const root = pitchClass(chord.root);
  return quality(chord.quality).steps.map((step) => (root + step) % 12);
}
