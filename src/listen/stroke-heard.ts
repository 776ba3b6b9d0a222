import type { KindShares, StrokeKind } from './kind.js';
import type { Timbre } from './timbre.js';

/** Something began to sound, told within 60 ms. Its fields are those of `StrokeHeard`. */
export interface OnsetHeard {
  readonly kind: 'onset';
  readonly ms: number;
  readonly sample: number;
  readonly strength: number;
  /** How its attack sounds. */
  readonly timbre: Timbre;
}

/** A stroke that was heard, when everything about it is known: 600 ms after it sounded at the latest, or when the next one came. */
export interface StrokeHeard {
  readonly kind: 'stroke';
  /** When it began (shared clock); how long sound takes into the machine is still in it. */
  readonly ms: number;
  /** Its first sample, counted from the first that was heard, at the rate that was opened. */
  readonly sample: number;
  /** How clear its onset is; 0.02 is hardly one, 1 is plain. */
  readonly strength: number;
  /** Which stroke of the right hand where nothing is expected, and how sure that is, 0–1. */
  readonly stroke: StrokeKind;
  readonly sure: number;
  /** What its sound says of its kind, for those who know what was expected. */
  readonly kinds: KindShares;
  /** How long it rang, ms; `null` when that could not be heard. */
  readonly ringMs: number | null;
  /** The MIDI note of a course that rings on; `null` when none does. */
  readonly ringsOn: number | null;
  /** The sound round it, from 0.11 s before its attack to 0.11 s after it, own sounds taken out, at the rate that was opened: for the test of its chord. */
  readonly clip: Float32Array;
  /** The clip's sample at which the stroke begins. */
  readonly attack: number;
}
