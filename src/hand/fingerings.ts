import type { Finger, Fingering, Frets } from './fingering.js';
import { handReach } from './hand-reach.js';
import type { Instrument } from './instrument.js';
import { type NeckLengths, neckLengths } from './neck-lengths.js';
import type { PlayerHand } from './player-hand.js';

/** The most separate tips that one fret has room for. */
const mostTips = 3;

/** A tenth of a micrometre: a reach may be met exactly in spite of rounding. */
const nothing = 1e-7;

/**
 * Every way a hand can finger a voicing. Fingers lie along the neck in their order; two at one fret stand
 * with the lower number toward the bass side, or with `orders: 'any'` either way; three tips at most share a fret; a
 * finger may lie flat across neighbouring courses at one fret, also under a course that another stops higher; every
 * pair keeps within the hand's span. Open courses need none.
 */
export function fingeringsOf(
  frets: Frets,
  instrument: Instrument,
  hand: PlayerHand,
  orders: 'usual' | 'any' = 'usual',
): readonly Fingering[] {
  const neck = neckLengths(instrument);
  const reach = handReach(hand);
  const fingers: (Finger | null)[] = frets.map(() => null);
  const found: Fingering[] = [];
  const step = (course: number): void => {
    if (course === frets.length) {
      found.push({ frets, fingers: fingers.slice(), shape: null, remark: '' });
      return;
    }
    const at = frets[course];
    if (at == null || at === 0) {
      step(course + 1);
      return;
    }
    for (let finger = 1 as Finger; finger <= 4; finger = (finger + 1) as Finger) {
      if (hand.without.includes(finger) || !fits(frets, fingers, course, finger, neck, reach, orders))
        continue;
      fingers[course] = finger;
      step(course + 1);
      fingers[course] = null;
    }
  };
  step(0);
  return found;
}

/** Whether a finger can stop a course, those on its bass side being stopped as they are. */
function fits(
  frets: Frets,
  fingers: readonly (Finger | null)[],
  course: number,
  finger: Finger,
  neck: NeckLengths,
  reach: Float64Array,
  orders: 'usual' | 'any',
): boolean {
  const at = frets[course] as number;
  let tips = 1;
  for (let other = 0; other < course; other += 1) {
    const otherFinger = fingers[other];
    if (otherFinger == null) continue;
    const otherAt = frets[other] as number;
    if (otherFinger === finger) {
      if (otherAt !== at || !liesFlat(frets, other, course, at)) return false;
      continue;
    }
    if (at === otherAt) {
      if (orders === 'usual' && finger < otherFinger) return false;
      if (fingers.indexOf(otherFinger) === other) tips += 1;
      continue;
    }
    if (finger < otherFinger !== at < otherAt) return false;
    const apart = Math.abs((neck.wires[at] as number) - (neck.wires[otherAt] as number));
    if (apart > (reach[5 * finger + otherFinger] as number) + nothing) return false;
  }
  return tips <= mostTips;
}

/** A flat finger may pass under courses that are stopped higher, but not over damped, open or lower ones. */
function liesFlat(frets: Frets, from: number, to: number, at: number): boolean {
  for (let course = from + 1; course < to; course += 1) {
    const between = frets[course];
    if (between == null || between < at) return false;
  }
  return true;
}
