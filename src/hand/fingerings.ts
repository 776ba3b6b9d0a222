import type { Finger, Fingering, Frets } from './fingering.js';
import type { Instrument } from './instrument.js';
import { type PlayerHand, spanOf } from './player-hand.js';
import { stretch } from './voicing.js';

/**
 * Every way a hand can finger a voicing. Fingers lie along the neck in their order; two at one fret stand
 * with the lower number toward the bass side; a finger may lie flat across neighbouring courses at one fret, also
 * under a course that another stops higher; every pair keeps within the hand's span. Open courses need none.
 */
export function fingeringsOf(frets: Frets, instrument: Instrument, hand: PlayerHand): readonly Fingering[] {
  const allowed = ([1, 2, 3, 4] as const).filter((finger) => !hand.without.includes(finger));
  const courses = frets.flatMap((at, course) => (at !== null && at > 0 ? [course] : []));
  const fingers: (Finger | null)[] = frets.map(() => null);
  const found: Fingering[] = [];
  const step = (index: number): void => {
    const course = courses[index];
    if (course === undefined) {
      found.push({ frets, fingers: [...fingers], shape: null, remark: '' });
      return;
    }
    for (const finger of allowed) {
      if (!fits(frets, fingers, courses.slice(0, index), course, finger, instrument, hand)) continue;
      fingers[course] = finger;
      step(index + 1);
      fingers[course] = null;
    }
  };
  step(0);
  return found;
}

/** Whether a finger can stop a course, those before it being stopped as they are. */
function fits(
  frets: Frets,
  fingers: readonly (Finger | null)[],
  before: readonly number[],
  course: number,
  finger: Finger,
  instrument: Instrument,
  hand: PlayerHand,
): boolean {
  const at = frets[course] as number;
  for (const other of before) {
    const otherFinger = fingers[other] as Finger;
    const otherAt = frets[other] as number;
    if (otherFinger === finger) {
      if (otherAt !== at || !liesFlat(frets, other, course, at)) return false;
      continue;
    }
    if (finger < otherFinger ? at >= otherAt : at < otherAt) return false;
    if (stretch(instrument, Math.min(at, otherAt), Math.max(at, otherAt)) > spanOf(hand, finger, otherFinger))
      return false;
  }
  return true;
}

/** A flat finger may pass under courses that are stopped higher, but not over damped, open or lower ones. */
function liesFlat(frets: Frets, from: number, to: number, at: number): boolean {
  for (let course = from + 1; course < to; course += 1) {
    const between = frets[course];
    if (between == null || between < at) return false;
  }
  return true;
}

/** The fingers that lie flat: across how many courses each. */
export function flatFingers(
  fingering: Fingering,
): readonly { readonly finger: Finger; readonly courses: number }[] {
  const counts = new Map<Finger, number>();
  for (const finger of fingering.fingers)
    if (finger !== null) counts.set(finger, (counts.get(finger) ?? 0) + 1);
  return [...counts].flatMap(([finger, courses]) => (courses > 1 ? [{ finger, courses }] : []));
}
