import { feltBeats, type PlayedBar, type PlayedCell } from '../chart/chart.js';
import type { Chord } from '../theory/chord.js';
import { type MidiNote, midiNote, pitchClass } from '../theory/pitch.js';
import { quality } from '../theory/quality.js';
import { eighth } from './place.js';

/** A note of the bass: felt beats from the bar's start to its stroke and to its end. */
export interface BassNote {
  readonly at: number;
  readonly until: number;
  readonly note: MidiNote;
  readonly loudness: number;
  /** It belongs to a run into the next chord; absent for all other notes. */
  readonly runs?: true;
}

/** E1, the lowest string of a double bass (common practice). */
export const lowest = 28;

/** What the bass of a cell depends on from before it. */
export interface BassBefore {
  /** The note that a run has led to, in its octave; the root in its usual one when absent. */
  readonly landing?: MidiNote | null;
  /** The chord was there in the bar before with its root: in three, its fifth answers now. */
  readonly answers?: boolean;
}

/**
 * The bass of one cell, as a string band has it (common practice): the root where the chord comes, its fifth on the
 * bar's other half, in three the root in one bar and the fifth in the next; a bass that is named with a slash
 * throughout. A chord that rings has one note; one that is stopped a short one. `end` is where the next chord is struck.
 */
export function bassNotes(
  bar: Pick<PlayedBar, 'meter' | 'beats'>,
  cell: PlayedCell,
  end: number,
  { landing = null, answers = false }: BassBefore = {},
): BassNote[] {
  const { chord } = cell;
  if (!chord) return [];
  const start = cell.at - (cell.early ? eighth(bar) : 0);
  if (end <= start + 1e-9) return [];
  const root = rootNote(chord);
  const first = { at: start, note: landing ?? (answers ? fifthNote(chord) : root), loudness: 92 };
  if (cell.ending === 'ring') return [{ ...first, until: end }];
  if (cell.ending === 'stop') return [{ ...first, until: Math.min(end, start + 0.5) }];
  const places = restrikes(bar).filter((at) => at > cell.at + 1e-9 && at < end - 1e-9);
  const notes = [
    first,
    ...places.map((at, index) => ({
      at,
      // The fifth answers the root: every other stroke of the cell.
      note: (index % 2 === 0) === answers ? root : fifthNote(chord),
      loudness: 80,
    })),
  ];
  return untilNext(notes, end);
}

/** Notes that each sound until the next, the last until the end. */
export function untilNext(notes: readonly Omit<BassNote, 'until'>[], end: number): BassNote[] {
  return notes.map((one, index) => ({ ...one, until: notes[index + 1]?.at ?? end }));
}

/**
 * Where in a bar the bass strikes again though the chord stays: every other beat, in three and five from the fourth on, and
 * where two beats are felt on each. It goes on so in a bar that is longer than its meter.
 */
function restrikes({ meter, beats }: Pick<PlayedBar, 'meter' | 'beats'>): number[] {
  const felt = feltBeats(meter);
  if (felt % 2 !== 0) {
    const groups = felt > 3 ? [0, 3] : [0];
    return Array.from({ length: Math.ceil(beats / felt) }, (_, round) =>
      groups.map((at) => round * felt + at),
    ).flat();
  }
  const step = felt === 2 ? 1 : 2;
  return Array.from({ length: Math.ceil(beats / step) }, (_, index) => index * step);
}

/** The note a chord has for its bass, in the octave from the lowest string up. */
export function rootNote(chord: Chord): MidiNote {
  return register(chord.bass ?? chord.root);
}

/** The chord's fifth below the root where the bass reaches it, else above; a slash bass answers itself. */
export function fifthNote(chord: Chord): MidiNote {
  const root = rootNote(chord);
  if (chord.bass !== null) return root;
  const steps = fifthOf(chord.quality);
  const below = root - 12 + steps;
  return midiNote(below >= lowest ? below : root + steps);
}

/** Half steps from the root to the fifth of a quality: diminished and augmented chords have their own. */
function fifthOf(id: string): number {
  if (/dim|b5/.test(id)) return 6;
  return /aug/.test(id) ? 8 : 7;
}

/** Whether a chord has a tone, given as a note of any octave. */
export function hasTone(chord: Chord, note: number): boolean {
  const above = (((note - pitchClass(chord.root)) % 12) + 12) % 12;
  return quality(chord.quality).steps.some((step) => step % 12 === above);
}

/** A note name in the octave from the lowest string up. */
function register(name: string): MidiNote {
  return midiNote(lowest + ((pitchClass(name) - (lowest % 12) + 12) % 12));
}
