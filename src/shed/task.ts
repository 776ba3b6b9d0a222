import type { DictationKind } from './dictation/figures.js';
import { type DrillKind, keyDrillKinds } from './drill.js';
import type { StepWay } from './path-step.js';

/** What drills a plan may make from a chart, or for its key; the others are drawn at random. */
export const chartWays = [
  'pair',
  'phrase',
  'chain',
  'ring',
  'order',
  'fret',
  'damped',
  'gaps',
  ...keyDrillKinds,
] as const;
export type ChartWay = (typeof chartWays)[number] & DrillKind;

/** Something to do that can be written in a plan file, and made into a drill again. */
export type Task =
  /** A step of the path; `way`: in another way than as it counts. */
  | { readonly kind: 'step'; readonly step: string; readonly way: StepWay | null }
  /** A whole song of the path. */
  | { readonly kind: 'song'; readonly song: string; readonly way: StepWay | null }
  /** A chart of the player's, whole, or a drill made from it: of two numbers (`1 4`), or round a bar, from 1. */
  | {
      readonly kind: 'chart';
      readonly file: string;
      readonly way: ChartWay | null;
      readonly chords: string | null;
      readonly bar: number | null;
    }
  /** Two numbers in alternation, without a chart. */
  | { readonly kind: 'chords'; readonly chords: string }
  /** Changes that are named by ear, as far as the diary says that the player is; `tune`: whether one is played over them, `null` by the level. */
  | { readonly kind: 'ear'; readonly asks: DictationKind; readonly tune: boolean | null };

/** A task with all that a teacher may say of it. */
export interface TaskWish {
  readonly task: Task;
  /** As it is written: `Bb`; `null` leaves it to the task. */
  readonly key: string | null;
  /** Beats a minute as the chart counts them, at the beginning and aimed at; `null` leaves it to the task. */
  readonly tempo: { readonly from: number; readonly to: number } | null;
  readonly minutes: number;
  readonly why: string;
}
