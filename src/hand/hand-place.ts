import type { Finger, Fingering } from './fingering.js';
import { type Fret, fretPlace, type Instrument } from './instrument.js';

/**
 * What a hand in position covers along the neck from index to little finger, mm. On a mandolin the index stands at
 * fret 2 and the little finger at 7, as first position is taught there: 79 mm (common practice). On a long neck
 * the same hand has about a finger a fret.
 */
const positionMm = 79;

/** Frets from one finger to the next in a hand that stands in first position, its index at fret 2. */
function fretsPerFinger(instrument: Instrument): number {
  const from = fretPlace(instrument, 2 as Fret);
  const to = Math.min(from + positionMm, instrument.scale * 0.9);
  return (-12 * Math.log2(1 - to / instrument.scale) - 2) / 3;
}

/** Where a hand stands, in frets: where its index would be, by all fingers that are down; `null` where none is. */
export function handPlace(fingering: Fingering, instrument: Instrument): number | null {
  const down = new Map<Finger, number>();
  fingering.fingers.forEach((finger, course) => {
    const at = fingering.frets[course];
    if (finger !== null && at != null && at > 0) down.set(finger, at);
  });
  if (down.size === 0) return null;
  const apart = fretsPerFinger(instrument);
  const sum = [...down].reduce((all, [finger, at]) => all + at - (finger - 1) * apart, 0);
  return sum / down.size;
}

/**
 * How far the hand shifts from one shape to another, in whole frets toward the bridge (negative: toward the nut). Less
 * than a fret is no shift: the hand stays, and the fingers do it.
 */
export function handShift(from: Fingering, to: Fingering, instrument: Instrument): number {
  const [before, after] = [handPlace(from, instrument), handPlace(to, instrument)];
  if (before === null || after === null) return 0;
  // So near to a whole fret that only the order of summing differs, it is one.
  const frets = Math.round((after - before) * 1e6) / 1e6;
  return Math.abs(frets) < 1 ? 0 : Math.round(frets);
}
