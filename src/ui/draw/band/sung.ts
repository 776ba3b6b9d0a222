import { partNames } from '../../../band/parts.js';
import { safeText } from '../../../base/safe-text.js';
import type { PlayedBar } from '../../../chart/chart.js';
import { samePart } from '../../../chart/part.js';
import { isKickoff } from '../../../time/arrange.js';
import type { Player } from './break-pieces.js';
import { barsOn, type PassPlace } from './chords-ahead.js';

/** What a singer sings: the words of now and of the next line, and the bars until that. Texts are fit for a terminal. */
export interface SungMoment {
  /** `null` where nothing is sung. */
  readonly now: string | null;
  readonly next: { readonly words: string; readonly bars: number } | null;
}

/** Whether a bar's words are sung: not where somebody else takes the lead on an instrument, though they are below the same phrase. */
export type Sings = (bar: PlayedBar) => boolean;

/** What is sung by one of the band. In a break and a kick-off nobody sings, nor where the form has an instrument lead. */
export function singsFor({ part, leads }: Pick<Player, 'part' | 'leads'>): Sings {
  const others: readonly string[] = partNames.filter((one) => one !== 'singer');
  return ({ section, who }) => {
    const word = who?.trim().toLowerCase() ?? '';
    if (isKickoff(section) || /^break\b/i.test(section)) return false;
    return !others.includes(word) && (word !== 'me' || (leads && part === 'singer'));
  };
}

/** Whether anything is sung in a pass. */
export function isSung(bars: readonly PlayedBar[], sings: Sings): boolean {
  return bars.some((bar) => bar.words !== undefined && sings(bar));
}

/** The words at a place of a pass. A line's words hold until the next one's, and no longer than their part of the form. */
export function sungMoment(bars: readonly PlayedBar[], place: PassPlace, sings: Sings): SungMoment {
  let next: SungMoment['next'] = null;
  let ahead = 0;
  for (const index of barsOn(place)) {
    const words = ahead > 0 ? wordsIn(bars[index], sings) : null;
    if (words !== null) {
      next = { words, bars: ahead };
      break;
    }
    ahead += 1;
  }
  return { now: wordsAt(bars, place.bar, sings), next };
}

function wordsAt(bars: readonly PlayedBar[], bar: number, sings: Sings): string | null {
  for (let index = bar; index >= 0; index -= 1) {
    const here = bars[index];
    const words = wordsIn(here, sings);
    if (words !== null) return words;
    const before = bars[index - 1];
    if (!here || !before || !samePart(before, here)) return null;
  }
  return null;
}

function wordsIn(bar: PlayedBar | undefined, sings: Sings): string | null {
  return bar?.words && sings(bar) ? bar.words.map(safeText).join(' ') : null;
}
