import type { ExpectedStroke } from '../../src/listen/expected.js';
import type { TimedStroke } from '../../src/listen/timed-stroke.js';

/** How an ear errs: standard deviations of places and ring lengths in ms, and shares of strokes. */
export interface SimulatedEar {
  readonly place: number;
  readonly missed: number;
  /** Strokes heard that nobody made. */
  readonly ghosts: number;
  /** Kinds mistaken. */
  readonly kind: number;
  /** Right chords taken for others, and others for the right one. */
  readonly falseAlarm: number;
  readonly wrongMissed: number;
  readonly unsure: number;
  readonly ring: number;
}

/** What a player does; times in ms, entries as `ExpectedStroke.entry`. */
export interface SimulatedPlayer {
  readonly mean: number;
  readonly spread: number;
  /** Of low notes, where they are not as the others. */
  readonly lowMean: number | null;
  readonly lowSpread: number | null;
  /** Share of strokes that are missed, to either side by so much. */
  readonly misses: number;
  readonly missBy: number;
  /** Changes whose first stroke comes late. */
  readonly lateInto: readonly { readonly entry: number; readonly ms: number }[];
  /** Changes whose first stroke has the old chord. */
  readonly oldChordAt: readonly number[];
  /** Chords held wrong, and what is played. */
  readonly wrongAt: ReadonlyMap<number, string>;
  /** Share of chops that ring on. */
  readonly ringsOn: number;
  /** From when on (ms) the hand runs from the click, by how much for each ms. */
  readonly runFrom: number | null;
  readonly runBy: number;
  /** Share of strokes left out, and bars that are rested. */
  readonly leftOut: number;
  readonly restBars: readonly number[];
  /** How far each error follows the one before, 0–1. */
  readonly follows: number;
}

export const perfectEar: SimulatedEar;
export const usualEar: SimulatedEar;
export const steadyPlayer: SimulatedPlayer;
export function simulatedPass(
  expected: readonly ExpectedStroke[],
  options?: {
    readonly player?: Partial<SimulatedPlayer>;
    readonly ear?: SimulatedEar;
    readonly offset?: number;
    readonly seed?: number;
  },
): {
  readonly heard: TimedStroke[];
  readonly origins: ReadonlyMap<TimedStroke, ExpectedStroke>;
  readonly made: readonly {
    readonly stroke: ExpectedStroke;
    readonly error: number;
    readonly played: string;
    readonly ringMs: number;
  }[];
};
