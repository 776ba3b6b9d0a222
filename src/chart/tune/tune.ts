/**
 * The tune of a chart: notes as degrees, so that they move with the key like its numbers, in whole parts of a quarter, so that
 * lengths add up exactly.
 */

/** Parts of a quarter: 2⁹·3²·5·7, so that tuplets of up to nine notes, short ones too, are whole; a tick is 168 of them. */
export const partsPerQuarter = 161_280;

/**
 * A pitch as a degree of the major scale on the tonic, raised or lowered by half steps. In octave 0 the tonic of the song's key
 * lies from C4 (middle C) to B4.
 */
export interface TunePitch {
  readonly degree: number;
  readonly alter: number;
  readonly octave: number;
}

/** A note, or a rest where `pitch` is `null`. `tie`: it goes on in the next note. */
export interface TuneNote {
  readonly pitch: TunePitch | null;
  readonly parts: number;
  readonly tie: boolean;
}

/** The notes of one written bar; none at all are silence as long as the bar. */
export interface TuneBar {
  readonly notes: readonly TuneNote[];
}

/** What is written after `%` for people, and the bar it comes after; −1 before the first. */
export interface TuneRemark {
  readonly bar: number;
  readonly text: string;
}

/**
 * The tune of a section: one bar for each bar that is written in it, in the order of writing. The pick-up sounds at the end of
 * the bar that is played before the section's first.
 */
export interface SectionTune {
  readonly section: string;
  readonly pickup: readonly TuneNote[];
  readonly bars: readonly TuneBar[];
  readonly remarks: readonly TuneRemark[];
}

/** How long some notes are together, in parts of a quarter. */
export function partsOf(notes: readonly TuneNote[]): number {
  return notes.reduce((sum, { parts }) => sum + parts, 0);
}
