import type { Finger, Frets } from './fingering.js';
import { add, type GripMeasures, places } from './grip-features.js';
import { flatUnwilling, gripLengths } from './grip-lengths.js';
import type { NeckLengths } from './neck-lengths.js';

/**
 * A finger that lies across courses: how long it lies, how many it presses beyond two, how unwilling it is, and the
 * courses it passes over on its way in from the treble side that sound lower than it lies.
 */
export function measureFlat(
  frets: Frets,
  fingers: readonly (Finger | null)[],
  finger: Finger,
  neck: NeckLengths,
  into: GripMeasures,
): void {
  const share = neck.single ? gripLengths.singleShare : 1;
  const start = fingers.indexOf(finger);
  const end = fingers.lastIndexOf(finger);
  const lies = frets[start] as number;
  let pressed = 0;
  for (let course = start; course <= end; course += 1) if (fingers[course] === finger) pressed += 1;
  const length = (end - start) * neck.spacing;
  add(into, places.flatLength, length * share);
  add(into, places.flatCourses, (pressed - 2) * share);
  add(into, places.flatFinger, (flatUnwilling[finger] as number) * share);
  for (let course = end + 1; course < frets.length; course += 1) {
    const at = frets[course];
    if (at != null && at < lies) add(into, places.flatOverLower, 1 / (course - end));
  }
}

/**
 * Tips at one fret. On neighbouring courses that lie closer than a tip is wide one tip comes after the other: how far
 * after, as a part of the fret's width, squared, since the room left for the second goes with it. A third beside two
 * counts again. Of two at one fret the lower finger stands on the bass side; the other way is out of order.
 */
export function measureTips(
  frets: Frets,
  fingers: readonly (Finger | null)[],
  neck: NeckLengths,
  into: GripMeasures,
): void {
  const behind = Math.sqrt(Math.max(0, gripLengths.tip ** 2 - neck.spacing ** 2));
  let run = 1;
  for (let course = 0; course < fingers.length; course += 1) {
    const finger = fingers[course];
    if (finger == null) {
      run = 1;
      continue;
    }
    const at = frets[course] as number;
    const beside = fingers[course - 1];
    if (beside != null && beside !== finger && frets[course - 1] === at) {
      const part = (behind / (neck.widths[at] as number)) ** 2;
      run += 1;
      add(into, places.crowded, part);
      if (run > 2) add(into, places.crowdedThird, part);
    } else run = 1;
    for (let other = 0; other < course; other += 1) {
      const otherFinger = fingers[other];
      if (otherFinger != null && otherFinger > finger && frets[other] === at) add(into, places.order, 1);
    }
  }
}
