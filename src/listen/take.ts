import type { ExpectedStroke } from './expected.js';
import type { Level } from './limits.js';
import type { TimedStroke } from './timed-stroke.js';
import type { Verdict } from './verdict.js';

/** A way to play a pass: its strokes at the written tempo, in the order of their times, and how long it lasts so, ms. */
export interface PassPlan {
  readonly expected: readonly ExpectedStroke[];
  readonly length: number;
  /** Places, ms at the written tempo, at which time may stand still, in their order: where a chord is held or the band has stopped, each until somebody goes on. */
  readonly stops?: readonly number[];
}

export interface TakeOptions {
  /** Passes that may have been played: the usual one, and the final one where it has other bars. */
  readonly plans: readonly PassPlan[];
  /** The slowness that the recording was made at, as of `SearchRange`; `null`: it is found. */
  readonly slowness: number | null;
  readonly level: Level;
}

/** A pass of a recording. */
export interface TakenPass {
  readonly verdict: Verdict;
  /** When its first tick sounds, ms from the start of the recording. */
  readonly start: number;
  /** How much slower than written it went at its beginning and at its end. */
  readonly slowness: { readonly first: number; readonly last: number };
  /** The recording ends within this bar of the pass (from 0): what comes after it was not judged; `null` when it has all of it. */
  readonly endsIn: number | null;
}

export interface Take {
  /** All strokes of the recording. */
  readonly onsets: readonly TimedStroke[];
  readonly passes: readonly TakenPass[];
}
