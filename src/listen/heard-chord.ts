import type { ChordVerdict } from './chord-verdict.js';
import type { HeardChord } from './timed-stroke.js';

/** What the chord's ear said of a stroke for which the chord `asked` was expected, as verdicts on passes take it. */
export function heardChord({ best, expected, confidence, mayBe }: ChordVerdict, asked: string): HeardChord {
  const told = { asked, best, isAsked: expected, confidence };
  return mayBe ? { ...told, mayBe: mayBe.filter((name) => name !== asked) } : told;
}
