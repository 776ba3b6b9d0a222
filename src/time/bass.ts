import { feltBeats, type PlayedBar, type PlayedCell, quartersPerBeat } from '../chart/chart.js';
import type { Chord } from '../theory/chord.js';
import { type MidiNote, midiNote, pitchClass } from '../theory/pitch.js';

/** A note of the bass: felt beats from the bar's start to its stroke and to its end. */
export interface BassNote {
  readonly at: number;
  readonly until: number;
  readonly note: MidiNote;
  readonly loudness: number;
}

/** E1, the lowest string of a double bass (common practice). */
const lowest = 28;

/**
 * The bass of one cell, as a string band has it (common practice): the root where the chord comes, its fifth on the
 * bar's other half, in three the root alone; a bass that is named with a slash throughout. A chord that rings has one
 * note; one that is stopped a short one. `end` is where the next chord is struck.
 */
export function bassNotes(
  bar: Pick<PlayedBar, 'meter' | 'beats'>,
  cell: PlayedCell,
  end: number,
): BassNote[] {
  const { chord } = cell;
  if (!chord) return [];
  const early = cell.early ? 0.5 / quartersPerBeat(bar.meter) : 0;
  const start = cell.at - early;
  const root = register(chord.bass ?? chord.root);
  const first = { at: start, note: root, loudness: 92 };
  if (cell.ending === 'ring') return [{ ...first, until: end }];
  if (cell.ending === 'stop') return [{ ...first, until: Math.min(end, start + 0.5) }];
  const places = [...restrikes(bar)].filter((at) => at > cell.at + 1e-9 && at < end - 1e-9);
  const notes = [
    first,
    ...places.map((at, index) => ({
      at,
      // The fifth answers the root: every other stroke of the cell.
      note: index % 2 === 0 ? answer(chord, root) : root,
      loudness: 80,
    })),
  ];
  return notes.map((one, index) => ({ ...one, until: notes[index + 1]?.at ?? end }));
}

/** Where in a bar the bass strikes again though the chord stays: the second half; in three, nowhere. */
function restrikes(bar: Pick<PlayedBar, 'meter' | 'beats'>): number[] {
  const felt = feltBeats(bar.meter);
  if (felt % 2 !== 0) return felt > 3 ? [3] : [];
  if (felt === 2) return [1];
  return Array.from({ length: felt / 2 - 1 }, (_, half) => 2 * (half + 1));
}

/** The chord's fifth below the root where the bass reaches it, else above; a slash bass answers itself. */
function answer(chord: Chord, root: MidiNote): MidiNote {
  if (chord.bass !== null) return root;
  const steps = fifthOf(chord.quality);
  const below = root - 12 + steps;
  return midiNote(below >= lowest ? below : root + steps);
}

/** Half steps from the root to the fifth of a quality: diminished and augmented chords have their own. */
function fifthOf(quality: string): number {
  if (/dim|b5/.test(quality)) return 6;
  return /aug/.test(quality) ? 8 : 7;
}

/** A note name in the octave from the lowest string up. */
function register(name: string): MidiNote {
  return midiNote(lowest + ((pitchClass(name) - (lowest % 12) + 12) % 12));
}
