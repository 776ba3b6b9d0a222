import type { Finger, Frets } from './fingering.js';
import { add, type GripMeasures, places, raise } from './grip-features.js';
import { gripLengths, stiffnessOf } from './grip-lengths.js';
import { measureFlat, measureTips } from './grip-tips.js';
import { handReach } from './hand-reach.js';
import type { Instrument } from './instrument.js';
import { neckLengths } from './neck-lengths.js';
import type { PlayerHand } from './player-hand.js';

// Where each finger is in the grip that is being measured. One grip is measured at a time, so the arrays are reused.
const first = new Int8Array(5);
const last = new Int8Array(5);
const pressed = new Int8Array(5);
const frettedAt = new Int8Array(5);

/**
 * Measures a grip into `into` and returns it, so that no memory is allocated for each of many grips. `fingers` is
 * bass side first, null where no finger stands. A finger's natural place is a fret from the next, but no more than
 * `gripLengths` says; how close two may come counts in the plane of the neck, not only along it.
 */
export function measureGrip(
  frets: Frets,
  fingers: readonly (Finger | null)[],
  instrument: Instrument,
  hand: PlayerHand,
  into: GripMeasures,
): GripMeasures {
  const neck = neckLengths(instrument);
  const reach = handReach(hand);
  into.fill(0);
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
      if (beyond > 0) add(into, places.stretch, beyond);
      else {
        const across = Math.max(
          0,
          (first[finger] as number) - (last[before] as number),
          (first[before] as number) - (last[finger] as number),
        );
        const near = apart === 0 ? gripLengths.spread : Math.min(oneFret, gripLengths.spread);
        add(
          into,
          places.cramped,
          Math.max(0, steps * near - Math.hypot(apart, across * neck.spacing)) * stiff,
        );
      }
      if (beyond > 0 && flatIndex) add(into, places.stretchBesideFlat, beyond);
    }
    for (let other = 1; other < finger; other += 1) {
      if (pressed[other] === 0) continue;
      const apart = at - (neck.places[frettedAt[other] as number] as number);
      const easy = gripLengths.easyReach * (reach[5 * other + finger] as number);
      raise(into, places.nearLimit, apart - easy);
    }
    if ((pressed[finger] as number) > 1) measureFlat(frets, fingers, finger as Finger, neck, into);
    if (flatIndex && finger > 1 && frettedAt[finger] === frettedAt[1]) add(into, places.besideFlat, 1);
    before = finger;
  }
  measureTips(frets, fingers, neck, into);
  if ((pressed[4] as number) > 0) {
    into[places.little] = 1;
    into[places.littleAcross] = (frets.length - 1 - (first[4] as number)) * neck.spacing;
  }
  into[places.idleIndex] = used > 1 && pressed[1] === 0 && !hand.without.includes(1) ? 1 : 0;
  if (used > 0 && frets.includes(0 as never)) {
    const anchor = anchors / used;
    into[places.offNut] = Math.max(
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
