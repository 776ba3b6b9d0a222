import type { Key } from '../theory/key.js';
import { majorLines } from './unseen-lines-major.js';
import { minorLines } from './unseen-lines-minor.js';

/** A line of a song: how often it is chosen among its like, and its four chords; `1.5` is two in the time of one. */
export type WeightedLine = readonly [weight: number, cells: string];

/** Lines by their task in a section. */
export interface SongLines {
  /** Set out from home; they stay there, come back, or stop open on 5 (or on 4, for a line that goes on). */
  readonly setOut: readonly WeightedLine[];
  /** Begin away from home, as choruses, bridges and second parts do. */
  readonly away: readonly WeightedLine[];
  /** End at home by a cadence, for the last line of a section. */
  readonly close: readonly WeightedLine[];
  /** What a line that repeats the first takes in place of its second half. */
  readonly turnHome: readonly WeightedLine[];
  /** The lines of a twelve-bar song, first to third. */
  readonly twelve: readonly (readonly WeightedLine[])[];
}

/** The lines that songs of a mode are made of. */
export const songLines: Readonly<Record<Key['mode'], SongLines>> = {
  major: majorLines,
  minor: minorLines,
};
