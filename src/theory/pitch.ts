import { chroma, midi } from '@tonaljs/note';
import type { Branded } from '../base/brand.js';

/** A note by its MIDI number: middle C is 60, a semitone is 1. */
export type MidiNote = Branded<'MidiNote'>;

/** Marks a whole number from 0 to 127 as a MIDI note; throws on anything else. */
export function midiNote(value: number): MidiNote {
  if (!Number.isInteger(value) || value < 0 || value > 127)
    throw new RangeError(`${value} is not a MIDI note`);
  return value as MidiNote;
}

/**
 * The MIDI number of a note name with its octave, or `null`.
 *
 * @example noteNumber('G3') // 55
 */
export function noteNumber(name: string): MidiNote | null {
  const number = midi(name);
  return typeof number === 'number' && number >= 0 && number <= 127 ? midiNote(number) : null;
}

const noteNames = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

/**
 * The name, in ASCII and without octave, of a note by its MIDI number or pitch class (a whole number from 0), where no
 * key says how to spell it: with the accidental that occurs in the simpler keys.
 *
 * @example noteName(63) // 'Eb'
 */
export function noteName(note: number): string {
  return noteNames[note % 12] as string;
}

/** Frequency in hertz in equal temperament, A4 = 440 Hz (the pitch of ISO 16). */
export function frequency(note: MidiNote): number {
  return 440 * 2 ** ((note - 69) / 12);
}

/** Pitch class of a note name without octave: C is 0, B is 11. Throws on what is not a note name. */
export function pitchClass(name: string): number {
  const place = chroma(name);
  if (typeof place !== 'number' || Number.isNaN(place)) throw new RangeError(`${name} is not a note name`);
  return place;
}
