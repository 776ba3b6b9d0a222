import type { ChordVerdict } from './chord-verdict.js';
import type { HeardChord } from './timed-stroke.js';

/** What the chord's ear said of a stroke for which the chord `asked` was expected, as verdicts on passes take it. */
export function heardChord(
  { best, expected, confidence, mayBe, leans }: ChordVerdict,
  asked: string,
): HeardChord {
  return {
    asked,
    best,
    isAsked: expected,
    confidence,
    ...(mayBe ? { mayBe: mayBe.filter((name) => name !== asked) } : {}),
    ...(leans ? { leans: { best: leans.best, isAsked: leans.expected } } : {}),
  };
}
