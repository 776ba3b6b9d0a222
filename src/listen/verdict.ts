import type { ChangeFigures } from './changes.js';
import type { WrongChord } from './chord-faults.js';
import type { Estimate } from './estimate.js';
import type { StrokeKind } from './expected.js';
import type { CleanLimits } from './limits.js';
import type { Matched, MatchedPass } from './matched.js';
import type { Silence } from './silences.js';
import type { TimedStroke } from './timed-stroke.js';

/** What keeps a pass from being clean, or from being judged. */
export type Fault =
  | 'few heard'
  | 'disturbed'
  | 'somebody else'
  | 'silence'
  | 'ran off'
  | 'ahead'
  | 'behind'
  | 'uneven'
  | 'late changes'
  | 'wrong chords'
  | 'rang on'
  | 'left out';

/** A chop that went on sounding. */
export interface RungOn {
  readonly bar: number;
  readonly beat: number;
  readonly ringMs: number;
  /** The MIDI note of one course that rang on alone; `null` when all of it did. */
  readonly note: number | null;
}

/** What a pass was. Times in ms, less than 0 before the beat; bars from 0. */
export interface Verdict {
  /** `not heard`: too little came through, or too much else; then nothing was judged. */
  readonly result: 'clean' | 'not clean' | 'not heard';
  /** Why it is not clean, or was not heard. */
  readonly faults: readonly Fault[];
  readonly strokes: readonly Matched[];
  /** Heard strokes that nothing was expected for: fills, or somebody else. They are not judged. */
  readonly extra: readonly TimedStroke[];
  /** Stretches of which nothing was heard. */
  readonly silences: readonly Silence[];
  /** Means and spreads by kind; `null` where too few were heard. */
  readonly timing: Readonly<Record<StrokeKind, Estimate | null>>;
  /** Whether the means are against the beat; else against the middle of all of the pass's strokes. */
  readonly absolute: boolean;
  readonly runsOff: MatchedPass['runsOff'];
  readonly changes: readonly ChangeFigures[];
  readonly wrong: readonly WrongChord[];
  /** Chops that should have stopped: of how many that is known, and those that rang on. */
  readonly chopsHeard: number;
  readonly rang: readonly RungOn[];
  readonly limits: CleanLimits;
  readonly interval: number;
}
