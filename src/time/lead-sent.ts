import type { NoteEvent } from './event.js';
import type { LeadNote } from './lead.js';
import { type LeadPlace, type LeadTaste, type Led, notesOfBar, sentLead } from './lead-line.js';
import type { Score } from './score.js';

/** Which bars are sent, and what is played after them. */
export interface LeadWay {
  readonly score: Score;
  /** The pass after this one; `null` after the last. */
  readonly nextScore: Score | null;
  /** The bars that are gone round in, half open. */
  readonly range: { readonly from: number; readonly to: number };
  /** The first bar that is sent, and how many. */
  readonly first: number;
  readonly count: number;
  /** The bar after which the music goes elsewhere, and the bar it goes to; `to` is `null` where that is not at a bar's start. */
  readonly leaves: { readonly bar: number; readonly to: number | null } | null;
  readonly taste?: LeadTaste;
}

/** By default the tune sounds where others lead. */
const usualTaste: LeadTaste = { melody: 'others', mine: ['me'] };

/** A bar of a score with its tune; `null` where there is none. */
export function leadPlace({ lead, bars }: Score, bar: number): LeadPlace | null {
  const tune = lead?.[bar];
  const placed = bars[bar];
  return tune && placed ? { bar: tune, start: placed.start, end: placed.start + placed.length } : null;
}

/**
 * The tune of the bars that are sent, each by what is played before and after it. `led`: what is played before the first of them;
 * nothing leads into that one for `none`.
 */
export function leadOf(way: LeadWay, led: Led | 'none' | undefined): readonly NoteEvent[] {
  const { score, first, count, leaves, taste = usualTaste } = way;
  if (!score.lead) return [];
  let before = led === 'none' ? null : (led ?? null);
  let nothingLeads = led === 'none';
  const notes: LeadNote[] = [];
  for (let bar = first; bar < first + count; bar += 1) {
    const here = leadPlace(score, bar);
    if (!here) continue;
    const own = notesOfBar(here, before, behind(way, bar), taste);
    notes.push(...(nothingLeads ? own.filter(({ at }) => at >= here.start) : own));
    before = { place: here, follows: true };
    // What is after a bar that is left does not come, nor what leads to it from within that bar.
    nothingLeads = bar === leaves?.bar;
  }
  return sentLead(notes, score.bars[first]?.start ?? 0);
}

/** What is played after a bar. */
function behind({ score, nextScore, range, leaves }: LeadWay, bar: number): Led | null {
  const there = (place: LeadPlace | null, follows: boolean): Led | null => place && { place, follows };
  if (bar === leaves?.bar) return there(leaves.to === null ? null : leadPlace(score, leaves.to), false);
  if (bar < range.to - 1) return there(leadPlace(score, bar + 1), true);
  return there(nextScore && leadPlace(nextScore, range.from), false);
}

/** Whether a pass that goes round has each time the tune that it has now: a pick-up may sound in front of it and not after it. */
export function ledAlike(way: LeadWay, lead: readonly NoteEvent[]): boolean {
  const place = leadPlace(way.score, way.range.to - 1);
  return place === null || leadOf(way, { place, follows: false }).length === lead.length;
}
