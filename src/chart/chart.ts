import type { Chord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import type { NumberChord } from '../theory/number.js';
import type { KeyTarget } from './key-target.js';
import type { BassLine, Level } from './level.js';
import type { SectionTune } from './tune/tune.js';

/** A meter as written: `beats` over `unit` (4 = quarter). How many beats are felt: `feltBeats`. */
export interface Meter {
  readonly beats: number;
  readonly unit: 2 | 4 | 8;
}

/** A tempo as the chart counts it: `bpm` quarters, halves or dotted quarters a minute. */
export interface Tempo {
  readonly bpm: number;
  readonly count: 'quarter' | 'half' | 'dotted';
}

/** Where the off-beat eighth stands, in percent of the beat: 50 is straight, 67 a full shuffle. */
export interface Feel {
  readonly swing: number;
}

/** A place in the file: line and column from 1; the column counts characters. */
export interface Place {
  readonly line: number;
  readonly column: number;
}

/** How a chord ends: played by the pattern, struck once and left to ring, or a choked stop. */
export type CellEnding = 'plain' | 'ring' | 'stop';

/**
 * One chord of a written bar. `chord` is `null` for no chord. `dots` is how many dots were written, if any: felt beats, or
 * quarters or eighths where those fill the bar (`dotsInBeat`).
 */
export interface WrittenCell {
  readonly chord: NumberChord | null;
  readonly dots: number | null;
  readonly early: boolean;
  readonly ending: CellEnding;
  /**
   * A held chord (`1_`, `1_6`): it is struck once, rings (`ending` is `ring`), and time waits until it is released. `beats`: how
   * many felt beats it takes in all where nobody releases it; `null` leaves that to the usual (`usualHold`).
   */
  readonly hold?: { readonly beats: number | null };
}

/** What changes from a place on. `key` counts half steps from the key before; `key-to` names the key. */
export type Change =
  | { readonly kind: 'meter'; readonly meter: Meter }
  | { readonly kind: 'key'; readonly halfSteps: number }
  | { readonly kind: 'tempo'; readonly bpm: number }
  | { readonly kind: 'swing'; readonly swing: number }
  | { readonly kind: 'key-to'; readonly to: KeyTarget }
  /** From here to the end of the section the tempo falls steadily, to this percentage. */
  | { readonly kind: 'slow'; readonly percent: number }
  /** The band stops after the bar before; `beats`: for how long where nobody gives the cue, `null` for a bar. */
  | { readonly kind: 'wait'; readonly beats: number | null };

/** Which times through a repeat an ending belongs to; `last` stands for the final pass of the form. */
export type EndingTimes = readonly number[] | 'last';

/** A mark for jumps: where to go back to, after which bar to go to the coda, after which bar the song ends. */
export type WayMark = 'sign' | 'to-coda' | 'fine';

/**
 * A form word: what the form has played up to here once more, from the sign or from the top, as far as the mark;
 * `to` is `null` where it goes as far as the form had come.
 */
export interface FormWay {
  readonly from: 'sign' | 'top';
  readonly to: 'coda' | 'fine' | null;
}

/** One thing written in a section. A bar written `=` has `same` and the cells of the bar before. */
export type Item = { readonly place: Place } & (
  | {
      readonly kind: 'bar';
      readonly cells: readonly WrittenCell[];
      readonly grouped: boolean;
      readonly same: boolean;
    }
  | { readonly kind: 'repeat-open' }
  | { readonly kind: 'repeat-close'; readonly times: number | null }
  | { readonly kind: 'ending-open'; readonly times: EndingTimes }
  | { readonly kind: 'ending-close' }
  | { readonly kind: 'change'; readonly change: Change }
  | { readonly kind: 'cue'; readonly text: string }
  | { readonly kind: 'way-mark'; readonly mark: WayMark }
);

/**
 * One written line, a phrase, with its comment (without the semicolon). Both may be empty. A line of words for the next line of
 * bars (`> The river …`) has `words`, and neither items nor a comment.
 */
export interface SectionLine {
  readonly items: readonly Item[];
  readonly comment: string | null;
  readonly words?: string;
}

/** One piece of a derived section: bars `from`–`to` of another, or its last `last`, or all of it; or bars of its own, `of` being empty. */
export interface Excerpt {
  readonly of: string;
  readonly take:
    | { readonly kind: 'all' }
    | { readonly kind: 'first' | 'last'; readonly bars: number }
    | { readonly kind: 'bars'; readonly from: number; readonly to: number }
    | { readonly kind: 'own'; readonly items: readonly Item[] };
}

/** A section: written bars, or pieces of other sections and bars between them. */
export interface Section {
  readonly name: string;
  readonly place: Place;
  readonly lines: readonly SectionLine[];
  readonly derived: readonly Excerpt[] | null;
  /** Whether it was written in letters; its bars are numbers all the same. */
  readonly letters: boolean;
}

/**
 * One entry of the form. `who` leads; `me` is the player. `level`, `bass` and `key` are there where the entry says them; `key`
 * holds for it alone. An entry with a `way` is a form word: its `section` is empty.
 */
export interface FormEntry {
  readonly section: string;
  readonly times: number;
  readonly who: string | null;
  readonly pattern: string | null;
  readonly level?: Level;
  readonly bass?: BassLine;
  readonly place: Place;
  readonly key?: KeyTarget;
  readonly way?: FormWay;
}

/** A chart as it was read: everything the file says, sections as written. */
export interface Chart {
  readonly title: string;
  readonly by: string | null;
  readonly notes: string | null;
  readonly key: Key;
  readonly tempo: Tempo;
  readonly meter: Meter;
  readonly feel: Feel;
  readonly pattern: string | null;
  /** What the bass does before a change, where the chart says it. */
  readonly bass?: BassLine;
  readonly pickup: number;
  readonly instrument: string | null;
  readonly midi: number | null;
  readonly crooked: boolean;
  readonly singers: readonly { readonly name: string; readonly key: Key }[];
  readonly range: { readonly low: RangeNote; readonly high: RangeNote } | null;
  readonly sections: readonly Section[];
  /** The tune, section by section, where the chart has one. */
  readonly tune?: readonly SectionTune[];
  /** Where cues come from, besides the written ones. */
  readonly cues?: 'tune';
  /** Words that it is found by: feel, level, who leads. Absent when there are none. */
  readonly tags?: readonly string[];
  readonly form: readonly FormEntry[];
  /**
   * The YAML comments by what they come before: a name of the head, `sections.NAME`, or nothing for those at
   * the end. Each line without its `#`; an empty text is an empty line.
   */
  readonly remarks: Readonly<Record<string, readonly string[]>>;
  /** Whether the form was written out; otherwise the sections follow each other once. */
  readonly formWritten: boolean;
}

/** A sung degree: octave 0 starts at the tonic, `5,` lies an octave lower, `3'` an octave higher. */
export interface RangeNote {
  readonly degree: number;
  readonly alter: -1 | 0 | 1;
  readonly octave: number;
}

/** One chord of a bar as it is played: `at` and `beats` count felt beats from the bar's start, and parts of them. */
export interface PlayedCell {
  readonly number: NumberChord | null;
  readonly chord: Chord | null;
  readonly at: number;
  readonly beats: number;
  readonly early: boolean;
  readonly ending: CellEnding;
  /** Of a held chord: the felt beats it takes in all where nobody releases it, not fewer than `beats`. */
  readonly hold?: number;
}

/** Where a played bar is written: indices of section, line (in a derived section, piece) and bar within it. */
export interface BarSource {
  readonly section: number;
  readonly line: number;
  readonly bar: number;
}

/** A written place as a name, by which played bars that are written there are found. */
export function placeName({ section, line, bar }: BarSource): string {
  return `${section}/${line}/${bar}`;
}

/** One bar of the unrolled form, with all that holds in it. */
export interface PlayedBar {
  readonly source: BarSource;
  readonly section: string;
  /** Index of the form entry. */
  readonly entry: number;
  /** Which time through that entry it is, from 0. */
  readonly round: number;
  readonly cells: readonly PlayedCell[];
  readonly beats: number;
  readonly key: Key;
  readonly meter: Meter;
  readonly tempo: Tempo;
  readonly feel: Feel;
  /** The cues over it: the written ones, and after them the tune's. */
  readonly cues: readonly string[];
  /** The last of its cues, if it comes from the tune (`cues: tune`) and is not written in the chart. */
  readonly tuneCue?: string;
  readonly who: string | null;
  readonly pattern: string | null;
  /** How loud its part of the form is; `null` leaves that to the pattern. */
  readonly level: Level | null;
  /** On the first bar of a phrase as it is played: the words of the phrase, a text for each line of them. */
  readonly words?: readonly string[];
  /** The marks that come before it and after it, where there are any. */
  readonly marks?: readonly WayMark[];
  /** In bars that a form word plays again: the index of the form entry that they were first played in. */
  readonly again?: number;
  /** The form word, on the first bar that it plays. */
  readonly way?: FormWay;
  /** Where the tempo falls: the share of its tempo that each felt beat has, 1 for the whole. */
  readonly slowing?: readonly number[];
  /** The band stops after this bar: felt beats of silence where nobody gives the cue to go on. */
  readonly wait?: number;
}

/** Beats felt in a full bar: two in cut time and 6/8, otherwise the upper figure. */
export function feltBeats(meter: Meter): number {
  return meter.unit === 8 && meter.beats % 3 === 0 ? meter.beats / 3 : meter.beats;
}

/** Quarters in one felt beat: 1 in 4/4, 2 in cut time, 1.5 in 6/8. */
export function quartersPerBeat(meter: Meter): number {
  if (meter.unit === 8) return meter.beats % 3 === 0 ? 1.5 : 0.5;
  return meter.unit === 2 ? 2 : 1;
}

/** Quarters in the note that a tempo counts. */
export const countedQuarters = { quarter: 1, half: 2, dotted: 1.5 } as const satisfies Record<
  Tempo['count'],
  number
>;

/** Quarters a minute, whatever the chart counts. */
export function quarterTempo(tempo: Tempo): number {
  return tempo.bpm * countedQuarters[tempo.count];
}

/** Whether two meters are written alike. */
export function sameMeter(one: Meter, other: Meter): boolean {
  return one.beats === other.beats && one.unit === other.unit;
}

/** The meter as written: `4/4`. */
export function meterText(meter: Meter): string {
  return `${meter.beats}/${meter.unit}`;
}

/** The tempo as a chart's head has it: `170`, `half=120`. */
export function tempoText(tempo: Tempo): string {
  return tempo.count === 'quarter' ? String(tempo.bpm) : `${tempo.count}=${tempo.bpm}`;
}
