import { distance } from 'fastest-levenshtein';
import { quoted } from './safe-text.js';

/**
 * The known word a person most likely meant, or `null` when none is near.
 * Near: at most one edit for words of up to three letters, two for longer ones, case ignored.
 *
 * @example nearest('temop', ['tempo', 'title']) // 'tempo'
 */
export function nearest(word: string, known: readonly string[]): string | null {
  const low = word.toLowerCase();
  let best: string | null = null;
  let least = word.length <= 3 ? 1 : 2;
  for (const candidate of known) {
    const edits = distance(low, candidate.toLowerCase());
    if (edits < least || (edits === least && best === null)) {
      best = candidate;
      least = edits;
    }
  }
  return best;
}

/** `, did you mean “tempo”?` ready to be put behind a sentence's last word, or the empty text. */
export function didYouMean(word: string, known: readonly string[]): string {
  const near = nearest(word, known);
  return near === null ? '' : `; did you mean ${quoted(near)}?`;
}
