import type { Finger, Frets } from './fingering.js';
import { flatUnwilling, gripLengths, stiffnessOf } from './grip-lengths.js';
import type { Instrument } from './instrument.js';
import { type NeckLengths, neckLengths } from './neck-lengths.js';
import { type PlayerHand, spanOf } from './player-hand.js';

/** What is measured of a grip; each has a price in `gripPrices`. */
export const gripFeatures = [
  'stretch',
  'stretchBesideFlat',
  'cramped',
  'nearLimit',
  'crowded',
  'crowdedThird',
  'besideFlat',
  'flatLength',
  'flatCourses',
  'flatFinger',
  'flatOverLower',
  'little',
  'littleAcross',
  'idleIndex',
  'order',
  'offNut',
] as const;

/** The name of a measure of a grip. */
export type GripFeature = (typeof gripFeatures)[number];

/** The measures of a grip. */
export type GripMeasures = Record<GripFeature, number>;

/** Room for the measures of a grip. */
export function noMeasures(): GripMeasures {
  return Object.fromEntries(gripFeatures.map((name) => [name, 0])) as GripMeasures;
}

// Where each finger stands in the grip that is being measured: one grip at a time, so the room is used again.
const first = new Int8Array(5);
const last = new Int8Array(5);
const pressed = new Int8Array(5);
const frettedAt = new Int8Array(5);

/**
 * Measures a grip into `into`, which it also answers, so that no memory is taken for each of many grips. `fingers` is bass side first, null
 * where no finger stands.
 */
export function measureGrip(
  frets: Frets,
  fingers: readonly (Finger | null)[],
  instrument: Instrument,
  hand: PlayerHand,
  into: GripMeasures,
): GripMeasures {
  const neck = neckLengths(instrument);
  for (const name of gripFeatures) into[name] = 0;
  place(frets, fingers);
  const flatIndex = (pressed[1] as number) > 1;
  let before = 0;
  let used = 0;
  let anchors = 0;
  for (let finger = 1; finger <= 4; finger += 1) {
    if (pressed[finger] === 0) continue;
    const at = neck.places[frettedAt[finger] as number] as number;
    anchors += at - (finger - 1) * gripLengths.spread;
    used += 1;
    if (before > 0) {
      const apart = at - (neck.places[frettedAt[before] as number] as number);
      const steps = finger - before;
      const stiff = stiffnessOf(before as Finger, finger as Finger);
      const oneFret = neck.widths[(frettedAt[before] as number) + 1] as number;
      const beyond = (apart - steps * Math.min(oneFret, gripLengths.easySpread)) * stiff;
      if (beyond > 0) into.stretch += beyond;
      else {
        const across = Math.max(
          0,
          (first[finger] as number) - (last[before] as number),
          (first[before] as number) - (last[finger] as number),
        );
        const near = apart === 0 ? gripLengths.spread : Math.min(oneFret, gripLengths.spread);
        into.cramped += Math.max(0, steps * near - Math.hypot(apart, across * neck.spacing)) * stiff;
      }
      if (beyond > 0 && flatIndex) into.stretchBesideFlat += beyond;
    }
    for (let other = 1; other < finger; other += 1) {
      if (pressed[other] === 0) continue;
      const apart = at - (neck.places[frettedAt[other] as number] as number);
      const easy = gripLengths.easyReach * spanOf(hand, other as Finger, finger as Finger);
      into.nearLimit = Math.max(into.nearLimit, apart - easy);
    }
    if ((pressed[finger] as number) > 1) measureFlat(frets, finger as Finger, neck, into);
    if (flatIndex && finger > 1 && frettedAt[finger] === frettedAt[1]) into.besideFlat += 1;
    before = finger;
  }
  measureTips(frets, fingers, neck, into);
  if ((pressed[4] as number) > 0) {
    into.little = 1;
    into.littleAcross = (frets.length - 1 - (first[4] as number)) * neck.spacing;
  }
  into.idleIndex = used > 1 && pressed[1] === 0 && !hand.without.includes(1) ? 1 : 0;
  if (used > 0 && frets.includes(0 as never)) {
    const anchor = anchors / used;
    into.offNut = Math.max(
      0,
      anchor - (neck.places[neck.home] as number),
      (neck.places[1] as number) - anchor,
    );
  }
  return into;
}

/** Notes where each finger stands. */
function place(frets: Frets, fingers: readonly (Finger | null)[]): void {
  pressed.fill(0);
  for (let course = 0; course < fingers.length; course += 1) {
    const finger = fingers[course];
    if (finger == null) continue;
    if (pressed[finger] === 0) first[finger] = course;
    last[finger] = course;
    pressed[finger] = (pressed[finger] as number) + 1;
    frettedAt[finger] = frets[course] as number;
  }
}

/**
 * A finger that lies across courses: how long it lies, how many it presses beyond two, how unwilling it is, and the
 * courses it passes over on its way in from the treble side that sound lower than it lies.
 */
function measureFlat(frets: Frets, finger: Finger, neck: NeckLengths, into: GripMeasures): void {
  const share = neck.single ? gripLengths.singleShare : 1;
  const end = last[finger] as number;
  const length = (end - (first[finger] as number)) * neck.spacing;
  into.flatLength += length * share;
  into.flatCourses += ((pressed[finger] as number) - 2) * share;
  into.flatFinger += (flatUnwilling[finger] as number) * share;
  for (let course = end + 1; course < frets.length; course += 1) {
    const at = frets[course];
    if (at != null && at < (frettedAt[finger] as number)) into.flatOverLower += 1 / (course - end);
  }
}

/**
 * Tips at one fret. On neighbouring courses that lie closer than a tip is wide one tip stands behind the other: how far
 * behind, as a part of the fret's width, squared, since the room left for the second goes with it. A third beside two
 * counts again. Of two at one fret the lower finger stands on the bass side; the other way is out of order.
 */
function measureTips(
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
      into.crowded += part;
      if (run > 2) into.crowdedThird += part;
    } else run = 1;
    for (let other = 0; other < course; other += 1) {
      const otherFinger = fingers[other];
      if (otherFinger != null && otherFinger > finger && frets[other] === at) into.order += 1;
    }
  }
}
