import type { TunedCourse } from './overlays.js';

/**
 * A course is in tune within this many cents, and so are its strings with each other: common practice; strings three cents apart beat less
 * than once a second up to the open A of a mandolin, and hardly more on its E.
 */
export const inTune = 3;
/** All courses are off by the same amount when each is within this many cents of their mean ... */
const alike = 5;
/** ... and that is off by this many. */
const leastOff = 8;

/** `12 cents flat`, `in tune`, `in tune, its strings 6 cents apart`. */
export function tuningText({ cents, apartCents }: TunedCourse): string {
  const apart = Math.round(apartCents);
  const strings = apart > inTune ? `, its strings ${apart} cents apart` : '';
  return `${offText(cents)}${strings}`;
}

/** Whether nothing is left to be done about a course. */
export function isInTune({ cents, apartCents }: TunedCourse): boolean {
  return Math.abs(Math.round(cents)) <= inTune && Math.round(apartCents) <= inTune;
}

/** What to say about all courses together, once all were heard; empty before. */
export function allText(courses: readonly (TunedCourse | null)[]): string {
  const heard = courses.flatMap((one) => one ?? []);
  if (heard.length < courses.length || heard.length === 0) return '';
  if (heard.every(isInTune)) return 'all courses are in tune';
  const mean = heard.reduce((sum, { cents }) => sum + cents, 0) / heard.length;
  const agree = heard.every(({ cents }) => Math.abs(cents - mean) <= alike);
  if (!agree || Math.abs(mean) < leastOff) return '';
  return `all courses are about ${offText(mean)}, and in tune with each other`;
}

function offText(cents: number): string {
  const off = Math.round(cents);
  if (Math.abs(off) <= inTune) return 'in tune';
  return `${Math.abs(off)} cents ${off < 0 ? 'flat' : 'sharp'}`;
}
