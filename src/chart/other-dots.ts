import { quoted } from '../base/safe-text.js';
import { type Notation, readCell } from './cell.js';

/**
 * What is meant by a word with dots or signs that are out of place: `1...5.`, `1…`, `1,`, `.`, `“ho`; `null` for all
 * else.
 *
 * @example otherDots('1…', { kind: 'numbers' })?.says // “1…”: the dots are three full stops, “1...”
 */
export function otherDots(word: string, notation: Notation): { readonly says: string } | null {
  const reads = (text: string): boolean => readCell(text, notation).ok;
  const told = (says: string): { readonly says: string } => ({ says: `${quoted(word)}: ${says}` });
  if (word.length > 100) return null;
  if (/[“”„]/u.test(word)) return told('a cue is written in straight quotation marks, "all stop"');
  if (/^\.+$/.test(word)) return told('the dots of a chord come directly after it, as in (1... 5.)');
  const stops = word.replaceAll('…', '...');
  if (stops !== word && reads(stops)) return told(`the dots are full stops: ${quoted(stops)}`);
  const chords = stops.replaceAll(/(\.+)(?=[^.])/g, '$1 ').split(' ');
  if (chords.length > 1 && chords.every(reads))
    return told(`a space is missing between the chords: ${quoted(chords.join(' '))}`);
  const parts = word.split(/[,;]/).filter((part) => part !== '');
  if (word.includes(',') && parts.length > 0 && parts.every(reads))
    return told(`chords need no comma between them; a space is enough: ${quoted(parts.join(' '))}`);
  return null;
}
