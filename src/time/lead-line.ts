import type { NoteEvent } from './event.js';
import { joined, type LeadBar, type LeadNote } from './lead.js';

/** Where the tune sounds: where others lead, or in the breaks of the player too. */
export type Melody = 'others' | 'all';

/** What decides which bars of a pass have the tune: `mine` are the names of the player in a form, in small letters. */
export interface LeadTaste {
  readonly melody: Melody;
  readonly mine: readonly string[];
}

/** Whether two are the same. */
export function sameTaste(one: LeadTaste, other: LeadTaste): boolean {
  return one.melody === other.melody && one.mine.join('\n') === other.mine.join('\n');
}

/** A bar of a pass with its tune, and the ticks of the pass at which it starts and ends. */
export interface LeadPlace {
  readonly bar: LeadBar;
  readonly start: number;
  readonly end: number;
}

/** The bar that is played before or after another, and whether it is also the one before or after it in the pass. */
export interface Led {
  readonly place: LeadPlace;
  readonly follows: boolean;
}

/** Whether the tune sounds in a bar. */
export function soundsIn({ who }: LeadBar, { melody, mine }: LeadTaste): boolean {
  return melody === 'all' || who === null || !mine.includes(who);
}

/**
 * The notes of the tune that belong to a bar: the pick-up that leads to it from the bar before, and its own, but for what gives way to
 * the pick-up of the bar after. Those are `null` where nothing is played before it, or after it.
 */
export function notesOfBar(
  here: LeadPlace,
  before: Led | null,
  behind: Led | null,
  taste: LeadTaste,
): readonly LeadNote[] {
  if (!soundsIn(here.bar, taste)) return [];
  const pickup = leadsIn(before?.place ?? null, here, before?.follows ?? false, taste) ? here.bar.pickup : [];
  const ticks =
    behind && leadsIn(here, behind.place, behind.follows, taste) ? behind.place.bar.pickupTicks : 0;
  return [...pickup, ...(ticks === 0 ? here.bar.notes : until(here.bar.notes, here.end - ticks))];
}

/** Whether the pick-up of a bar sounds at the end of the one that is played before it, or in front of everything (`null`). */
function leadsIn(before: LeadPlace | null, here: LeadPlace, follows: boolean, taste: LeadTaste): boolean {
  const { pickupTicks, joins, section } = here.bar;
  if (pickupTicks === 0 || !soundsIn(here.bar, taste)) return false;
  if (before === null || !soundsIn(before.bar, taste)) return true;
  if (follows) return joins;
  const from = before.end - pickupTicks;
  if (from < before.start) return false;
  return before.bar.section !== section || !before.bar.notes.some(({ at }) => at >= from);
}

/** Notes that end at a tick at the latest. */
function until(notes: readonly LeadNote[], tick: number): readonly LeadNote[] {
  return notes.flatMap((note): LeadNote[] => {
    if (note.at >= tick) return [];
    if (note.at + note.length <= tick) return [note];
    const { goesOn: _, ...rest } = note;
    return [{ ...rest, length: tick - note.at }];
  });
}

/**
 * The tune of some bars as it is sent: tied notes as one. What goes on after the last bar reaches one tick into what comes, where a
 * note that is tied takes it up; `from` is where they begin, and what comes there is tied to what came before.
 */
export function sentLead(notes: readonly LeadNote[], from: number): readonly NoteEvent[] {
  return joined(notes).map(({ goesOn, ...note }) => ({
    ...note,
    length: note.length + (goesOn ? 1 : 0),
    ...(note.at === from ? { tied: true } : {}),
  }));
}
