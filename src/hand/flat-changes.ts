import type { Finger, Fingering } from './fingering.js';
import type { Motion } from './motion.js';

/** A finger that comes to stop other courses than before, though it may stay where it is: it lies down, or stands up. */
export interface FlatChange {
  readonly finger: Finger;
  /** The courses it stops now, bass side first. */
  readonly courses: readonly number[];
}

/** Fingers that lie across more or fewer courses than before, and those they come to lie on, bass side first. */
export function flatChanges({ from, to }: Pick<Motion, 'from' | 'to'>): readonly FlatChange[] {
  return ([1, 2, 3, 4] as const).flatMap((finger): FlatChange[] => {
    const [before, after] = [coursesOf(from, finger), coursesOf(to, finger)];
    const isOther = Math.max(before.length, after.length) > 1 && before.length !== after.length;
    return isOther && after.length > 0 ? [{ finger, courses: after }] : [];
  });
}

/** The courses a finger stops, bass side first. */
export function coursesOf({ fingers }: Fingering, finger: Finger): number[] {
  return fingers.flatMap((one, course) => (one === finger ? [course] : []));
}
