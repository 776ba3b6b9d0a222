import { slowingLimits } from '../chart/change.js';
import type { FormWay, Meter, Place, Tempo, WayMark } from '../chart/chart.js';
import type { StaffNote } from '../chart/tune/tune-pitch.js';
import type { Chord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';

/** A chord of a bar: how many quarters after its start, and what it is; `null` for no chord. What could not be read stands in `text`. */
export interface SheetChord {
  readonly at: number;
  readonly chord: Chord | null;
  readonly text: string | null;
  readonly place: Place;
}

/** A note of the melody on the staff, a rest where `staff` is `null`; `parts` of a quarter (`partsPerQuarter`); `tie`: it goes on in the next. */
export interface SheetNote {
  readonly staff: StaffNote | null;
  readonly parts: number;
  readonly tie: boolean;
}

/** A bar of a lead sheet as it is written. Lengths are quarters. */
export interface SheetBar {
  readonly length: number;
  readonly chords: readonly SheetChord[];
  /** What changes with this bar. */
  readonly meter: Meter | null;
  readonly key: Key | null;
  readonly tempo: Tempo | null;
  /** Begins a repeat, or ends one that is played this many times. */
  readonly opens: boolean;
  readonly closes: number | null;
  /** Begins an ending for these times, or is the last bar of one. */
  readonly ending: readonly number[] | null;
  readonly endsEnding: boolean;
  /** A new section begins with it: its name, or an empty text where it has none. */
  readonly section: string | null;
  /** A line of the source begins with it. */
  readonly line: boolean;
  readonly cues: readonly string[];
  readonly place: Place;
  /** Words of the phrase that begins with it, a text for each line of them. */
  readonly words?: readonly string[];
  /** What is sung to the notes of the line that begins with it, a text for each verse: no part of a chart unless it is asked for. */
  readonly sung?: readonly string[];
  /** The sign before it, and what comes after it: that one leaves for the coda, or that it is the last. */
  readonly marks?: readonly WayMark[];
  /** It has the sign of the coda. */
  readonly coda?: true;
  /** After it one goes back; how far is `null` where that is not said. */
  readonly back?: FormWay;
  /** Where there is a fermata: quarters after the bar's start. */
  readonly holds?: readonly number[];
  /** The band stops after it: a caesura. */
  readonly stops?: boolean;
  /** The melody's notes in it, where there is a melody. */
  readonly notes?: readonly SheetNote[];
  /** Notes of a pick-up, which are played at the end of the bar that is played before it. */
  readonly pickupNotes?: readonly SheetNote[];
}

/** How a ritardando to the end of a section is said in words: no format has a sign with a figure. */
export function slowingWords(percent: number): string {
  return `rit. to ${percent}%`;
}

/** Its percentage, where words are those of one. */
export function slowingIn(words: string): number | null {
  const percent = Number(/^rit\. to (\d{2})%$/.exec(words)?.[1] ?? Number.NaN);
  return percent >= slowingLimits.least && percent <= slowingLimits.most ? percent : null;
}

/** How a stop of the band is said where there is no sign for it. */
export const stopWords = 'the band stops';

/** A lead sheet, as open formats have it: chords over bars, without what is sung or played by others. */
export interface LeadSheet {
  readonly title: string;
  readonly by: string | null;
  readonly key: Key;
  readonly meter: Meter;
  readonly tempo: Tempo;
  readonly bars: readonly SheetBar[];
  /** The sections in the order in which they are played, by name, and form words (`from sign to coda`); `null`: as they are written. */
  readonly form: readonly string[] | null;
}

/** Something that was left out or read differently from what is written: nothing is guessed in silence. */
export interface Remark {
  readonly place: Place;
  readonly message: string;
}

/** A song as it was read from another format: its lead sheet, what was left out or read differently, and how many chord symbols it has. */
export interface SheetRead {
  readonly sheet: LeadSheet;
  readonly remarks: readonly Remark[];
  readonly chords: number;
  /** How many notes its melody has, rests not counted. */
  readonly notes: number;
}

/** An empty bar, to be copied with what it has. */
export const plainBar: SheetBar = {
  length: 4,
  chords: [],
  meter: null,
  key: null,
  tempo: null,
  opens: false,
  closes: null,
  ending: null,
  endsEnding: false,
  section: null,
  line: false,
  cues: [],
  place: { line: 1, column: 1 },
};

/** Quarters in a full bar of a meter. */
export function meterQuarters({ beats, unit }: Meter): number {
  return (4 * beats) / unit;
}

/**
 * Opens the repeats whose beginning is not written: each begins after the last that ended, or at the start.
 *
 * @param borders whether it begins with the last section instead, where one begins later (ABC 2.1, 4.8)
 */
export function openRepeats(bars: readonly SheetBar[], borders: boolean): readonly SheetBar[] {
  const all = [...bars];
  let from = 0;
  /** How many are open, and how many of those stood open already when another ended. */
  let open = 0;
  let outer = 0;
  all.forEach((bar, index) => {
    if (borders && bar.section) {
      open -= outer;
      outer = 0;
    }
    if (borders && bar.section !== null && bar.ending === null) from = index;
    if (bar.opens) {
      open += 1;
      from = index;
    }
    if (bar.closes === null) {
      if (bar.endsEnding && !all[index + 1]?.ending) from = index + 1;
      return;
    }
    const first = all[from];
    if (open === 0 && first) all[from] = { ...first, opens: true };
    open = Math.max(0, open - 1);
    outer = open;
    if (!all[index + 1]?.ending) from = index + 1;
  });
  return all;
}
