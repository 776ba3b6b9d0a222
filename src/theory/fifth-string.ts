import type { Key } from './key.js';
import { noteName, pitchClass } from './pitch.js';

/** What is done with a banjo's fifth string: the fret it is stopped at, or the note it is tuned to and left open. */
export interface FifthString {
  /** Fret of its own capo or spike, counted from the nut; `null` when it is played open. */
  readonly fret: number | null;
  /** The note it is tuned to instead of g, where it is; `null` where it stays g. */
  readonly tuned: string | null;
}

/** The fifth string begins at fret 5, tuned g; spikes and capos for it go to fret 10 (common practice). */
const begins = 5;
const highestSpike = 10;
const open = pitchClass('G');

/**
 * The half steps above g for the shapes that are played: g with those of G, C and E minor, a with those of D and
 * A minor (common practice).
 */
const usualRaise: Readonly<Record<string, number>> = {
  'G major': 0,
  'C major': 0,
  'D major': 2,
  'E minor': 0,
  'A minor': 2,
};

/**
 * The fifth string with a capo. It goes up with the capo, as the shapes want it; where that is above fret 10, it
 * drones the root or the fifth of the key that sounds, at the lowest fret that has one. F♯ has neither within reach: there
 * it is tuned down to its root.
 */
export function fifthString(shapes: Key, sounding: Key, capo: number): FifthString {
  const raise = usualRaise[`${shapes.tonic} ${shapes.mode}`];
  const wanted = raise === undefined ? null : capo + raise;
  if (wanted !== null && begins + wanted <= highestSpike) return at(wanted);
  const root = pitchClass(sounding.tonic);
  const drones = [root, root + 7].map((note) => (note - open + 24) % 12);
  const lowest = Math.min(...drones);
  if (begins + lowest <= highestSpike) return at(lowest);
  return { fret: null, tuned: noteName(root) };
}

function at(halfSteps: number): FifthString {
  return { fret: halfSteps === 0 ? null : begins + halfSteps, tuned: null };
}

/** What to do with the fifth string, in words: `fifth string at 7`, `fifth string tuned down to f#`. */
export function fifthStringText({ fret, tuned }: FifthString): string {
  if (tuned !== null) return `fifth string tuned down to ${tuned.toLowerCase()}`;
  return fret === null ? 'fifth string open' : `fifth string at ${fret}`;
}
