import { safeText } from '../../../base/safe-text.js';
import type { PlayedBar } from '../../../chart/chart.js';
import { samePart } from '../../../chart/part.js';
import { barsOn, type PassPlace } from './chords-ahead.js';

/** A part of the form, by its name, or a cue, and the bars until it; 0 for now. */
export interface ComingText {
  readonly text: string;
  readonly bars: number;
}

/** Where the music is in the form: the part, which of its bars, and the part that comes. */
export interface FormMoment {
  readonly part: string;
  /** Which bar of the part it is, from 1, and how many it has. */
  readonly bar: number;
  readonly of: number;
  readonly next: ComingText | null;
  /** The cue of this bar, or the next one within four. */
  readonly cue: ComingText | null;
}

/** The part that comes, with the unit: a section's name may read as a chord's, whose beats are counted without one. */
export function nextPartText({ text, bars }: ComingText): string {
  return `then ${text} in ${bars} ${bars === 1 ? 'bar' : 'bars'}`;
}

/** How many bars ahead a cue is shown. */
const cueBars = 4;

/** Where a place is in the form. */
export function formMoment(bars: readonly PlayedBar[], place: PassPlace): FormMoment | null {
  const here = bars[place.bar];
  if (!here) return null;
  const begins = (index: number): boolean => {
    const [before, one] = [bars[index - 1], bars[index]];
    return !before || !one || !samePart(before, one);
  };
  let from = place.bar;
  while (!begins(from)) from -= 1;
  let to = place.bar + 1;
  while (to < bars.length && !begins(to)) to += 1;
  let next: ComingText | null = null;
  let cue: ComingText | null = null;
  let ahead = 0;
  for (const index of barsOn(place)) {
    const bar = bars[index];
    if (!bar) break;
    const cues = bar.cues.map(safeText).join(' ');
    if (cue === null && ahead <= cueBars && cues !== '') cue = { text: cues, bars: ahead };
    if (next === null && ahead > 0 && begins(index)) next = { text: safeText(bar.section), bars: ahead };
    ahead += 1;
    if (next !== null && ahead > cueBars) break;
  }
  return { part: safeText(here.section), bar: place.bar - from + 1, of: to - from, next, cue };
}
