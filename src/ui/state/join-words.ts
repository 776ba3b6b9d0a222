import { safeText } from '../../base/safe-text.js';
import type { MeetingPlace } from '../../link/meeting-types.js';

/** The word of a band as others type it: spaces and hyphens are the same in a word, and a hyphen needs no quotes. */
export function typedWord({ word }: Pick<MeetingPlace, 'word'>): string {
  return safeText(word.trim()).replace(/\s+/g, '-');
}

/** What others type to join: by the word alone, which finds a broker that a stand carries, and by address. */
export function joinCommands(place: MeetingPlace): { readonly byWord: string; readonly byAddress: string } {
  const shown = typedWord(place);
  const typed = /^[\p{L}\p{N}._-]+$/u.test(shown) ? shown : `"${shown}"`;
  return {
    byWord: `barkline join ${typed}`,
    byAddress: `barkline join ${safeText(place.address)} --word ${typed}`,
  };
}
