import { distance } from 'fastest-levenshtein';
import { quoted } from './safe-text.js';

/** Longer words, and known words beyond this number, are not compared: it takes time, and nobody meant them. */
const longest = 100;
const most = 1000;

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
  if (word.length > longest) return null;
  for (const candidate of known.slice(0, most)) {
    const other = candidate.slice(0, 2 * longest).toLowerCase();
    // There are at least as many edits as the lengths differ by.
    if (Math.abs(other.length - low.length) > least) continue;
    const edits = distance(low, other);
    if (edits < least || (edits === least && best === null)) {
      best = candidate;
      least = edits;
    }
  }
  return best;
}

/** `, did you mean “tempo”?` to be put after the last word of a sentence, or an empty text. */
export function didYouMean(word: string, known: readonly string[]): string {
  const near = nearest(word, known);
  return near === null ? '' : `; did you mean ${quoted(near)}?`;
}
