import type { DiaryEntry } from './diary.js';
import { dayOf } from './summary.js';

/** What kinds of day a week of practice has, and what each is for. */
export const dayKinds = {
  new: 'something new, in short pieces between things you know',
  settle: 'nothing new: what was begun before, slower at first and in other ways',
  time: 'the right hand and steady time',
  rest: 'rest: leave the instrument in its case; hands learn while they rest',
  further: 'the other step that is open, or more of what was begun',
  mixed: 'what is due, and old things in keys you have not played lately',
  songs: 'whole songs, from beginning to end',
  hard: 'the hardest places of the set, slowly first',
  run: 'the set, whole songs in order; nothing is corrected today',
  stage: 'the set is today: warm up, feel the first chords, and leave the rest alone',
  after: 'a short day: what was marked at the set, and what is due',
} as const;
export type DayKind = keyof typeof dayKinds;

/** The week of a player with no set ahead, from the first day of practice on: no day is like the one before. */
const week: readonly DayKind[] = ['new', 'settle', 'time', 'rest', 'further', 'mixed', 'songs'];

/** The days that lead to a set, by how many days it is away. Nothing new in the last days: only what is known holds. */
const beforeSet: readonly DayKind[] = ['stage', 'run', 'rest', 'mixed', 'time', 'hard', 'new'];

/**
 * What kind of day it is: by the days to the set where one is near, else by how many days ago practice began. A rest that was
 * taken already is not planned again.
 *
 * @param now ms since 1970
 * @param setDay any time on the day of the next set, or the last one; `null` for none
 */
export function dayKind(entries: readonly DiaryEntry[], now: number, setDay: number | null): DayKind {
  const away = setDay === null ? null : daysBetween(now, setDay);
  if (away === -1) return 'after';
  if (away !== null && away >= 0 && away < beforeSet.length) return beforeSet[away] as DayKind;
  const practised = entries.filter(({ what }) => what !== 'later' && what !== 'numbers').map(({ at }) => at);
  const first = practised.reduce((least, at) => Math.min(least, at), now);
  const kind = week[((daysBetween(first, now) % week.length) + week.length) % week.length] as DayKind;
  return kind === 'rest' && !practisedYesterday(practised, now) ? 'further' : kind;
}

function practisedYesterday(practised: readonly number[], now: number): boolean {
  const yesterday = dayOf(dayAfter(now, -1));
  return practised.some((at) => dayOf(at) === yesterday);
}

/** The same time a number of days later, by the calendar: a day may have 23 hours. */
export function dayAfter(at: number, days: number): number {
  const date = new Date(at);
  date.setDate(date.getDate() + days);
  return date.getTime();
}

/** Days from one date to another, by the calendar. */
export function daysBetween(from: number, to: number): number {
  const noon = (at: number): number => new Date(at).setHours(12, 0, 0, 0);
  return Math.round((noon(to) - noon(from)) / 86_400_000);
}
