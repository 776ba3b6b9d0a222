import type { Condition, Hearing } from '../listen/condition.js';
import type { SoundAhead } from '../listen/sound-ahead.js';
import type { OnsetHeard, StrokeHeard } from '../listen/stroke-heard.js';
import type { CourseHeard, CourseToTune } from '../listen/tuning-ear.js';

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
  /** Stops listening. */
  | { readonly kind: 'close' }
  | { readonly kind: 'list' }
  /** Own sounds that are going to be made, in place of all that were announced from `from` on (ms). */
  | { readonly kind: 'ahead'; readonly from: number; readonly sounds: readonly SoundAhead[] }
  /** Own sounds are heard this much later than they are due, ms: the way out and the way in, as calibrated. `null`: it must be found out. */
  | { readonly kind: 'delay'; readonly ms: number | null }
  /** Courses that are struck are heard for tuning as well; `null`: no longer. */
  | { readonly kind: 'courses'; readonly courses: readonly CourseToTune[] | null }
  | { readonly kind: 'ping' }
  | { readonly kind: 'quit' };

/** What the ear tells its parent. Every `sentence` says what is wrong and what to do, in one line. */
export type FromEar =
  | { readonly kind: 'ready' }
  /** It listens: to what, by which means; `rate`: samples a second that it hears, of faster cards than 50 000 a half or a quarter. */
  | { readonly kind: 'opened'; readonly name: string; readonly rate: number; readonly by: string }
  /** It cannot listen there; it tries again when the microphone was there before. */
  | { readonly kind: 'failed'; readonly sentence: string }
  | ({ readonly kind: 'microphones' } & Microphones)
  | OnsetHeard
  | StrokeHeard
  /** A course was struck at `ms`, for tuning: told 0.7 s after that, and again, better known, when it has rung for 1.7 s or another is struck. */
  | ({ readonly kind: 'course'; readonly ms: number } & CourseHeard)
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
  /** The file has come to its end; all its strokes have been reported. */
  | { readonly kind: 'ended' }
  /** Something else went wrong that a person should know; listening goes on. */
  | { readonly kind: 'trouble'; readonly sentence: string };

/** The ear's sign of life, used only in the parent's client. */
export interface EarPong {
  readonly kind: 'pong';
}
