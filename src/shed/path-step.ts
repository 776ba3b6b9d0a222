import type { DrillKind, KeyDrillKind } from './drill.js';

/** Another way to practise what a step is about, made from its chart. */
export type StepWay = Extract<DrillKind, 'fret' | 'ring' | 'order' | 'damped' | 'gaps'> | KeyDrillKind;

/** One step of the path: what is played, when it counts as done, and what it needs. */
export interface PathStep {
  /** A name for files and the command line: `home-and-four`. */
  readonly id: string;
  readonly title: string;
  /** What to play and what to listen for, for the card: one or two sentences. */
  readonly says: string;
  /** The steps that must be done before. */
  readonly needs: readonly string[];
  /** The keys in which it is played, one after the other; it is done when it is in all of them. */
  readonly keys: readonly string[];
  /** Quarters a minute at which it counts. */
  readonly bpm: number;
  /** This many clean passes in a row at that tempo, on this many days, in each key. */
  readonly clean: number;
  readonly days: number;
  /** What kind of drill it is, as the diary keeps it. */
  readonly kind: Extract<DrillKind, 'pair' | 'phrase' | 'song' | 'shuffled' | 'unseen'>;
  /** Other ways to practise it, the best first; each session takes them in turns. */
  readonly ways: readonly StepWay[];
  /** Its chart without title, key and tempo: the lines of a chart file. `null` for one that is new each time. */
  readonly chart: string | null;
  /** Only numbers are shown. */
  readonly numbersOnly?: boolean;
  /** Numbers appear only this many beats before they are due. */
  readonly late?: number;
}

/** Why a step counts as done, in words: `2 clean in a row at 80, on 2 days, in A, Bb and B`. */
export function doneWhen({ clean, bpm, days, keys }: PathStep): string {
  const on = days === 1 ? '' : `, on ${days} days`;
  const list = keys.length < 2 ? (keys[0] ?? '') : `${keys.slice(0, -1).join(', ')} and ${keys.at(-1)}`;
  return `${clean} clean in a row at ${bpm}${on}, in ${list}`;
}
