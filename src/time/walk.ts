import { feltBeats, type PlayedBar, type PlayedCell, quartersPerBeat } from '../chart/chart.js';
import type { Chord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import type { NumberChord } from '../theory/number.js';
import { type MidiNote, midiNote, pitchClass } from '../theory/pitch.js';
import { type BassNote, hasTone, lowest, rootNote } from './bass.js';

/** A chord that is being left and the one that comes, with where the first is left. */
export interface WalkPlace {
  readonly bar: Pick<PlayedBar, 'meter' | 'beats' | 'key'>;
  readonly cell: PlayedCell;
  /** Felt beats from the bar's start to where the next chord is struck. */
  readonly end: number;
  readonly next: PlayedCell;
  /** The bass note that sounds before the run. */
  readonly before: MidiNote;
  /** Whether the run must lead to the next chord's root in its usual octave. */
  readonly fixed: boolean;
}

/** A run of the bass into the next chord, and the note it leads to. */
export interface Walk {
  readonly notes: readonly Omit<BassNote, 'until'>[];
  readonly landing: MidiNote;
}

/** The highest note that a run leads to: the B♭ of the second octave, as high as a fifth above the highest root. */
const highest = 46;

/**
 * The run that leads from one chord into the next on the last beats before it (common practice): two steps of the scale up
 * to the 4, the 5, or from either of these back to the 1; from the 4 to the 1 also down. One step where there is room
 * for one; `null` where there is room for none, or where players have no usual run.
 */
export function walkInto(place: WalkPlace): Walk | null {
  const { cell, next, bar } = place;
  if (cell.ending !== 'plain' || !cell.chord || !next.chord || !cell.number || !next.number) return null;
  if (cell.chord.bass !== null || next.chord.bass !== null) return null;
  const ways = waysInto(cell.number, next.number, cell.chord, bar.key);
  const places = walkPlaces(place);
  if (ways.length === 0 || places.length === 0) return null;
  const usual = rootNote(next.chord);
  const landings = place.fixed ? [usual] : [usual, usual + 12];
  const runs = landings
    .flatMap((landing) =>
      ways.map((way) => ({ landing, tones: way.slice(-places.length).map((step) => landing + step) })),
    )
    .filter(({ landing, tones }) => [landing, ...tones].every((note) => note >= lowest && note <= highest));
  const leap = ({ tones }: { tones: readonly number[] }): number => Math.abs((tones[0] ?? 0) - place.before);
  const [best] = [...runs].sort((one, other) => leap(one) - leap(other));
  if (!best) return null;
  const notes = best.tones.map((note, index) => ({
    at: places[index] as number,
    note: midiNote(note),
    loudness: 86,
    runs: true as const,
  }));
  return { notes, landing: midiNote(best.landing) };
}

/** Half steps from the next root to the notes of a run, in order: the ways there are, the usual one first. */
function waysInto(
  from: NumberChord,
  to: NumberChord,
  chord: Chord,
  key: Key,
): readonly (readonly number[])[] {
  if (to.alter !== 0 || (from.degree === to.degree && from.alter === to.alter)) return [];
  const scale = key.mode === 'minor' ? minorScale : majorScale;
  const home = pitchClass(key.tonic);
  const isOfScale = scale.includes((pitchClass(chord.root) - home + 12) % 12);
  const isHomeward = to.degree === 1 && from.alter === 0 && (from.degree === 4 || from.degree === 5);
  if (!isOfScale || !(to.degree === 4 || to.degree === 5 || isHomeward)) return [];
  const target = majorScale[to.degree - 1] as number;
  const step = (index: number): number => scale[((index % 7) + 7) % 7] as number;
  const below = (steps: number): number => (step(to.degree - 1 - steps) - target - 12) % 12;
  const up = leadingUp(below(2), below(1), (half) => hasTone(chord, home + target + half));
  if (!(isHomeward && from.degree === 4)) return [up];
  return [[step(2), step(1)], up];
}

/** A run up has the half step below its aim where the chord that is left has it; nothing in it is wider than a whole step. */
function leadingUp(far: number, near: number, sounds: (half: number) => boolean): readonly number[] {
  const last = near === -2 && sounds(-1) && !sounds(-2) ? -1 : near;
  return [last - far > 2 ? last - 2 : far, last];
}

const majorScale: readonly number[] = [0, 2, 4, 5, 7, 9, 11];
const minorScale: readonly number[] = [0, 2, 3, 5, 7, 8, 10];

/**
 * Where a run stands: on the last two beats, after the root, which has sounded for one. A beat is a quarter; where
 * the bar is felt in two an eighth or a quarter, as the right hand divides it.
 */
function walkPlaces({ bar, cell, end }: WalkPlace): readonly number[] {
  const { grid, step } = walkGrid(bar);
  const fits = grid.filter((at) => at >= cell.at + step - 1e-9 && at <= end - step / 2 + 1e-9);
  return fits.slice(-2);
}

/** The places of a bar on which a run may stand, and how far they are from each other at least, in felt beats. */
function walkGrid({ meter, beats }: Pick<PlayedBar, 'meter' | 'beats'>): { grid: number[]; step: number } {
  const inTwo = feltBeats(meter) === 2 || meter.unit === 2;
  const within = (places: readonly number[]): number[] =>
    Array.from({ length: Math.ceil(beats) }, (_, beat) => places.map((at) => beat + at))
      .flat()
      .filter((at) => at < beats - 1e-9);
  if (!inTwo) return { grid: within([0]), step: 1 };
  return quartersPerBeat(meter) === 1.5
    ? { grid: within([0, 2 / 3]), step: 1 / 3 }
    : { grid: within([0, 0.5]), step: 0.5 };
}
