import type { ChordVerdict } from './chord-verdict.js';
import type { HeardChord } from './timed-stroke.js';

/** A chord that is so much less likely than the likeliest of those that were not asked for is none that a stroke may have been. */
const farLess = 0.1;

/** What the chord's ear said of a stroke for which the chord `asked` was expected, as verdicts on passes take it. */
export function heardChord({ best, expected, confidence, scores }: ChordVerdict, asked: string): HeardChord {
  const told = { asked, best, isAsked: expected, confidence };
  if (expected !== false || best !== null) return told;
  const others = [...scores].filter(([name]) => name !== asked);
  const most = Math.max(0, ...others.map(([, share]) => share));
  const mayBe = others.flatMap(([name, share]) => (share > 0 && share >= farLess * most ? [name] : []));
  return { ...told, mayBe };
}
