import { type Key, keyName, keySignature } from '../../theory/key.js';
import type { TunePitch } from './tune.js';

/** A note by its place on the staff: `step` counts letters from C0 (C4 is 28), `alter` half steps up from the letter's own. */
export interface StaffNote {
  readonly step: number;
  readonly alter: number;
}

/** Half steps of the letters C to B above C, which are those of the major scale's degrees above its tonic. */
const naturals = [0, 2, 4, 5, 7, 9, 11];
const letters = 'CDEFGAB';

/** The remainder from 0 up, also for negative numbers. */
function modulo(value: number, by: number): number {
  return ((value % by) + by) % by;
}

/** The MIDI number of a place on the staff without accidental. */
function naturalNumber(step: number): number {
  return 12 + 12 * Math.floor(step / 7) + (naturals[modulo(step, 7)] as number);
}

/** The MIDI number of a note on the staff. */
export function staffNumber({ step, alter }: StaffNote): number {
  return naturalNumber(step) + alter;
}

/** The MIDI number of the tonic in octave 0 of a key within a song in `home`: that of `home` from C4 to B4, others nearest to it. */
export function tonicNumber(key: Key, home: Key): number {
  return 60 + classOf(home.tonic) + homeShift(home, key);
}

/** The pitch class of a tonic, from 0: its letter with its sign. */
function classOf(tonic: string): number {
  const natural = naturals[letters.indexOf(tonic[0] ?? 'C')] as number;
  return modulo(natural + signOf(tonic), 12);
}

function signOf(tonic: string): number {
  return tonic.endsWith('#') ? 1 : tonic.endsWith('b') ? -1 : 0;
}

/** Half steps by which a tune that is written in one key lies higher in another: nearest to it, at most six up or five down. */
export function homeShift(written: Key, home: Key): number {
  const up = modulo(classOf(home.tonic) - classOf(written.tonic), 12);
  return up > 6 ? up - 12 : up;
}

/** Where on the staff the tonic of octave 0 stands. */
function tonicStep(key: Key, home: Key): number {
  const letter = letters.indexOf(key.tonic[0] ?? 'C');
  const octave = (tonicNumber(key, home) - signOf(key.tonic) - (naturals[letter] as number)) / 12 - 1;
  return 7 * Math.round(octave) + letter;
}

/** Half steps of a pitch above the tonic of octave 0. */
export function pitchHeight({ degree, alter, octave }: TunePitch): number {
  return (naturals[degree - 1] as number) + alter + 12 * octave;
}

/** A note of the staff as a degree of a key, in a song in `home`. */
export function degreeOf(note: StaffNote, key: Key, home: Key): TunePitch {
  const above = note.step - tonicStep(key, home);
  const pitch = { degree: modulo(above, 7) + 1, alter: 0, octave: Math.floor(above / 7) };
  return { ...pitch, alter: staffNumber(note) - tonicNumber(key, home) - pitchHeight(pitch) };
}

/** A degree as a note of the staff; one that would need three accidentals stands on the next letter. */
export function staffOf(pitch: TunePitch, key: Key, home: Key): StaffNote {
  const number = tonicNumber(key, home) + pitchHeight(pitch);
  let step = tonicStep(key, home) + 7 * pitch.octave + pitch.degree - 1;
  while (number - naturalNumber(step) > 2) step += 1;
  while (number - naturalNumber(step) < -2) step -= 1;
  return { step, alter: number - naturalNumber(step) };
}

/** What the signature of a key does to each letter from C on: −1, 0 or 1 half step. */
export function signatureOf(key: Key): readonly number[] {
  const name = keyName(key);
  const known = signatures.get(name) ?? signatureOfFifths(keySignature(key));
  signatures.set(name, known);
  return known;
}

/** Signatures that were worked out, by the name of the key: a tune asks for one with each bar. */
const signatures = new Map<string, readonly number[]>();

/** The same by its sharps, or its flats below nought. */
export function signatureOfFifths(fifths: number): readonly number[] {
  const sharps = 'FCGDAEB';
  return [...letters].map((letter) => {
    const place = sharps.indexOf(letter);
    if (fifths > 0) return place < fifths ? 1 : 0;
    return 6 - place < -fifths ? -1 : 0;
  });
}
