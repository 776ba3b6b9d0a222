import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import { pitchClass } from './pitch.js';

/**
 * A key: its tonic in ASCII (`Bb`, `F#`) and mode. Numbers count from the tonic's *major* scale in both
 * modes, so that in A minor C is b3.
 */
export interface Key {
  readonly tonic: string;
  readonly mode: 'major' | 'minor';
}

/** The names the twelve major keys usually go by, from C upward by half steps (common practice). */
export const majorTonics = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'] as const;

/** The names the twelve minor keys usually go by, from C upward by half steps (common practice). */
export const minorTonics = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'G#', 'A', 'Bb', 'B'] as const;

/** The white notes along the circle of fifths: C, the second, has no signs as a major key, and each mark of its own counts seven. */
const fifths = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];

const keyPattern = /^([A-Ga-g])([#b♯♭]?)\s*(?:(m|min|minor|-)|(maj|major))?$/;
const whites: Readonly<Record<string, string>> = { 'E#': 'F', 'B#': 'C', Cb: 'B', Fb: 'E' };

/**
 * Reads a key as a musician writes it: `A`, `Bb`, `B♭`, `F#m`, `C minor`.
 *
 * @example parseKey('B♭') // { ok: true, value: { tonic: 'Bb', mode: 'major' } }
 */
export function parseKey(text: string): Outcome<Key> {
  const match = keyPattern.exec(text.trim());
  if (!match) {
    return misread(
      `${quoted(text)} is not a key; a key is a letter from A to G, with b or #, and m for minor: A, Bb, F#m`,
    );
  }
  const [, letter = '', mark = '', minor] = match;
  const tonic = letter.toUpperCase() + mark.replace('♯', '#').replace('♭', 'b');
  const usual = whites[tonic];
  if (usual)
    return misread(`${quoted(text)} is not a usual name for a key; write ${usual}${minor ? 'm' : ''}`);
  return good({ tonic, mode: minor ? 'minor' : 'major' });
}

/** The key in ASCII: `Bb`, `F#m`. */
export function keyName(key: Key): string {
  return key.mode === 'minor' ? `${key.tonic}m` : key.tonic;
}

/** The key moved by half steps, under its usual name. A move of 0 keeps the spelling it has. */
export function transposeKey(key: Key, halfSteps: number): Key {
  if (halfSteps === 0) return key;
  const names = key.mode === 'minor' ? minorTonics : majorTonics;
  const place = (((pitchClass(key.tonic) + halfSteps) % 12) + 12) % 12;
  return { tonic: names[place] as string, mode: key.mode };
}

/** Whether two keys are the same sound, whatever their spelling. */
export function sameKey(one: Key, other: Key): boolean {
  return one.mode === other.mode && pitchClass(one.tonic) === pitchClass(other.tonic);
}

/** Sharps (positive) or flats (negative) of the key's signature; A minor has C major's. */
export function keySignature(key: Key): number {
  const [letter = '', ...marks] = key.tonic;
  const raised = marks.reduce((sum, mark) => sum + (mark === '#' ? 1 : -1), 0);
  return fifths.indexOf(letter) - 1 + 7 * raised - (key.mode === 'minor' ? 3 : 0);
}

/** The same name with the musician's signs, for screens that can show them: `B♭`, `F♯m`. */
export function withSigns(name: string): string {
  return name.replace(/(?<=[A-G])b|b(?=\d)/g, '♭').replace(/#/g, '♯');
}
