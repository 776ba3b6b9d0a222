import type { Condition, Hearing } from '../listen/condition.js';
import type { StrokeKind } from '../listen/kind.js';

/** Where sound is heard, as the command line names it. */
export type EarSpec =
  /** A microphone by its name, a part of it or its number as listed; `null`: the system's usual one. */
  | { readonly kind: 'microphone'; readonly name: string | null }
  /** A WAV file, as fast as it would sound. */
  | { readonly kind: 'file'; readonly path: string }
  /** A named pipe with 32-bit floating point samples of one channel, low byte first, `rate` a second. */
  | { readonly kind: 'raw'; readonly path: string; readonly rate: number };

/** A microphone that can be heard now. */
export interface Microphone {
  /** What names it for certain, in settings and in commands. */
  readonly name: string;
  /** What a person knows it by. */
  readonly label: string;
  readonly isDefault: boolean;
}

/** The microphones, the ones that are meant by themselves first; or why none can be heard, as one sentence. */
export interface Microphones {
  readonly microphones: readonly Microphone[];
  readonly trouble: string | null;
}

/** A sound that the program is going to make: when (ms of the shared clock), which, how strong (1: as its samples are). */
export interface SoundAhead {
  readonly ms: number;
  readonly sound: string;
  readonly level: number;
  /** Nobody plays while it sounds, as in a count-in. */
  readonly alone?: boolean;
}

/** What the parent tells the ear. All times are milliseconds of the clock that all processes of a machine share. */
export type ToEar =
  /**
   * Listens there in place of where it listened; `keep`: a WAV file that what is heard is written to. `again`: another process did so
   * before and died, so that the microphone may come back and the file may be there.
   */
  | {
      readonly kind: 'open';
      readonly from: EarSpec;
      readonly keep: string | null;
      readonly again?: boolean;
    }
  /** Listens no longer. */
  | { readonly kind: 'close' }
  | { readonly kind: 'list' }
  /** The program's own sounds, by name, at the rate that was opened: to be taken out of what is heard. */
  | { readonly kind: 'sounds'; readonly sounds: Readonly<Record<string, Float32Array>> }
  | { readonly kind: 'ahead'; readonly sounds: readonly SoundAhead[] }
  /** Own sounds are heard so much later than they are due, ms: the way out and the way in, as calibrated. */
  | { readonly kind: 'delay'; readonly ms: number }
  | { readonly kind: 'ping' }
  | { readonly kind: 'quit' };

/** A stroke that was heard, when all is known of it: 600 ms after it sounded at the latest, or when the next one came. */
export interface StrokeHeard {
  readonly kind: 'stroke';
  /** When it began (shared clock); how long sound takes into the machine is still in it. */
  readonly ms: number;
  /** Its first sample, counted from the first that was heard, at the rate that was opened. */
  readonly sample: number;
  /** How clear its onset is; 0.02 is hardly one, 1 is plain. */
  readonly strength: number;
  /** Which stroke of the right hand, and how sure that is, 0–1. */
  readonly stroke: StrokeKind;
  readonly sure: number;
  /** How long it rang, ms; `null` when that could not be heard. */
  readonly ringMs: number | null;
  /** The MIDI note of a course that rings on; `null` when none does. */
  readonly ringsOn: number | null;
  /** The sound round it, from 0.11 s before its attack to 0.11 s behind it, own sounds taken out, at the rate that was opened: for the test of its chord. */
  readonly clip: Float32Array;
  /** The clip's sample at which the stroke begins. */
  readonly attack: number;
}

/** What the ear tells its parent. Every `sentence` says what is wrong and what to do, in one line. */
export type FromEar =
  | { readonly kind: 'ready' }
  /** It listens: to what, by which means; `rate`: samples a second that it hears, of faster cards than 50 000 a half or a quarter. */
  | { readonly kind: 'opened'; readonly name: string; readonly rate: number; readonly by: string }
  /** It cannot listen there; it tries again when the microphone was there before. */
  | { readonly kind: 'failed'; readonly sentence: string }
  | ({ readonly kind: 'microphones' } & Microphones)
  /** Something began to sound, told within 60 ms. */
  | { readonly kind: 'onset'; readonly ms: number; readonly sample: number; readonly strength: number }
  | StrokeHeard
  /** Ten times a second. */
  | ({ readonly kind: 'level' } & Hearing)
  /** The condition has changed, and what to do; `null` when all is well again. */
  | { readonly kind: 'condition'; readonly condition: Condition; readonly sentence: string | null }
  /**
   * Sound was lost before `ms` and the sample that is counted so. It may be told up to 700 ms late: times of onsets that were told
   * meanwhile are too early by what was lost; those of strokes are right.
   */
  | { readonly kind: 'gap'; readonly ms: number; readonly sample: number }
  /** No sound has come for a while, though the microphone is there. */
  | { readonly kind: 'stalled'; readonly sentence: string }
  /** The microphone has gone; it is looked for, and opened again when it is back. */
  | { readonly kind: 'gone'; readonly sentence: string }
  /** The file has come to its end; all its strokes have been told. */
  | { readonly kind: 'ended' }
  /** Something else went wrong that a person should know; listening goes on. */
  | { readonly kind: 'trouble'; readonly sentence: string };

/** The ear's sign of life: of no interest beyond the parent's end. */
export interface EarPong {
  readonly kind: 'pong';
}
