import { type Key, keyName, parseKey } from '../theory/key.js';

/** The modes, by the first letters of their names. */
const modes = {
  maj: 'major',
  ion: 'ionian',
  mix: 'mixolydian',
  lyd: 'lydian',
  min: 'minor',
  aeo: 'aeolian',
  dor: 'dorian',
  phr: 'phrygian',
  loc: 'locrian',
} as const;

/** A mode that a tune or score can name. */
export type Mode = (typeof modes)[keyof typeof modes];

/** The mode that a word names by its first three letters, in any case; `m` is minor; `null` for none of them. */
export function modeNamed(word: string): Mode | null {
  if (word === 'm') return 'minor';
  const short = word.toLowerCase().slice(0, 3);
  return Object.hasOwn(modes, short) ? modes[short as keyof typeof modes] : null;
}

/**
 * How a mode differs from the major or minor scale with the same third, in numbers: those count from the major scale
 * of the tonic in both.
 */
const otherwise: Partial<Record<Mode, string>> = {
  dorian: 'its sixth is written as 6',
  phrygian: 'its second is written as b2',
  lydian: 'its fourth is written as #4',
  mixolydian: 'its seventh is written as b7',
  locrian: 'its second and fifth are written as b2 and b5',
};

/** Fifths from the signature's major key up to the tonic of each mode. */
const fifthsUp: Readonly<Record<Mode, number>> = {
  major: 0,
  ionian: 0,
  dorian: 2,
  phrygian: 4,
  lydian: -1,
  mixolydian: 1,
  minor: 3,
  aeolian: 3,
  locrian: 5,
};

/** Names that no chart has for a key, with the one it has. */
const usual: Readonly<Record<string, string>> = { Cb: 'B', Fb: 'E', 'E#': 'F', 'B#': 'C' };

/** A key as a chart can have it, and what it was read from where that is another. */
export interface ReadKey {
  readonly key: Key;
  readonly remark: string | null;
}

/**
 * The key of a tonic in a mode. A chart's key is major or minor: a mode is the one whose third it has, on the same tonic.
 *
 * @param tonic a letter with `#` or `b`
 */
export function keyInMode(tonic: string, mode: Mode): ReadKey | null {
  const minor = ['minor', 'aeolian', 'dorian', 'phrygian', 'locrian'].includes(mode);
  const name = usual[tonic] ?? tonic;
  const read = parseKey(`${name}${minor ? 'm' : ''}`);
  if (!read.ok) return null;
  const special = otherwise[mode];
  const told = keyName(read.value);
  const remark =
    special !== undefined
      ? `${tonic} ${mode} is read as ${told}, because of its ${minor ? 'minor' : 'major'} third: the tonic stays, and ${special}`
      : name === tonic
        ? null
        : `the key of ${tonic}${minor ? 'm' : ''} is written ${told}`;
  return { key: read.value, remark };
}

/** The key of a signature in a mode; `fifths` is its number of sharps, negative for flats. */
export function keyOfSignature(fifths: number, mode: Mode): ReadKey | null {
  if (!Number.isInteger(fifths) || Math.abs(fifths) > 7) return null;
  return keyInMode(fifthsAbove(fifths + fifthsUp[mode]), mode);
}

/** The number of sharps in the signature of a tonic in a mode, negative for flats. */
export function fifthsInMode(tonic: string, mode: Mode): number {
  const signs = tonic.endsWith('#') ? 7 : tonic.endsWith('b') ? -7 : 0;
  return steps.indexOf(tonic[0] ?? 'C') - 1 + signs - fifthsUp[mode];
}

const steps = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];

/** The note this many fifths above C. */
function fifthsAbove(fifths: number): string {
  const step = steps[(((fifths + 1) % 7) + 7) % 7] as string;
  const signs = Math.floor((fifths + 1) / 7);
  return step + (signs > 0 ? '#' : 'b').repeat(Math.abs(signs));
}
