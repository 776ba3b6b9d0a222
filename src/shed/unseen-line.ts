/** A line of a song: how often it is chosen among its like, and its four chords; `1.5` is two in the time of one. */
export type WeightedLine = readonly [weight: number, cells: string];

/** A line that was read: its cells, and the chords of them one after the other. */
export interface Line {
  readonly weight: number;
  readonly text: string;
  readonly cells: readonly string[];
  readonly chords: readonly string[];
}

/** Lines by their task in a section. */
export interface SongLines<T = WeightedLine> {
  /** Set out from home; they stay there, come back, or stop open on 5 (or on 4, for a line that goes on). */
  readonly setOut: readonly T[];
  /** Begin away from home, as choruses, bridges and second parts do. */
  readonly away: readonly T[];
  /** End at home by a cadence, for the last line of a section. */
  readonly close: readonly T[];
  /** What a line that repeats the first takes in place of its second half. */
  readonly turnHome: readonly T[];
  /** The lines of a twelve-bar song, first to third. */
  readonly twelve: readonly (readonly T[])[];
}

/** Reads a line. */
export function lineOf([weight, text]: WeightedLine): Line {
  return { weight, text, cells: text.split(' '), chords: text.split(/[ .]/) };
}
