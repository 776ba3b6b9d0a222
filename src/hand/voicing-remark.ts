import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { soundingNotes } from './fingering.js';
import type { Instrument } from './instrument.js';
import { toneName } from './tones.js';
import type { Voicing } from './voicing.js';

/** `without the fifth`, or the empty text. */
export function leavesOutText(leavesOut: readonly number[]): string {
  return leavesOut.length === 0 ? '' : `without the ${leavesOut.map(toneName).join(' and ')}`;
}

/** What a reduced voicing is, in words: `reduced to three courses: root and third`. */
export function reducedText({ frets }: Voicing, chord: Chord, instrument: Instrument): string {
  const root = pitchClass(chord.root);
  const notes = soundingNotes(instrument, frets).filter((note) => note !== null);
  const steps = [...new Set(notes.map((note) => (note - root + 120) % 12))].sort((one, other) => one - other);
  const count = ['no', 'one course', 'two courses', 'three courses'][notes.length];
  return `reduced to ${count}: ${steps.map(toneName).join(' and ')}`;
}
