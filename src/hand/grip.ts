import type { Finger, Frets } from './fingering.js';
import { type GripFeature, type GripMeasures, gripFeatures, noMeasures } from './grip-features.js';
import type { Instrument } from './instrument.js';
import { measureGrip } from './measure-grip.js';
import { type PlayerHand, usualHand } from './player-hand.js';

/**
 * What a measure of a grip costs, ms of motion one would spend to avoid it, for each unit of the measure (`measureGrip`
 * says what is measured). Most are learned from published fingerings (`npm run fit`, which prints how well they do); the
 * others are ours, where every fingering of a board is alike in them or no board we have can tell.
 */
export const gripPrices: Readonly<Record<GripFeature, number>> = {
  /** For each mm that two fingers stand wider than a relaxed hand, as stiff as index and middle. Learned. */
  stretch: 0.44,
  /** The same once more while the index lies flat, which holds the hand square to the neck. Learned. */
  stretchBesideFlat: 0.36,
  /** For each mm that two fingers stand closer than is natural: they push each other off their places. Learned. */
  cramped: 0.3,
  /** For each mm beyond the easy part of the hand's farthest reach: nothing is left to land in time. Ours. */
  nearLimit: 1,
  /** For two tips beside each other where one fret's width is all they have; falls with the square. Learned. */
  crowded: 4.5,
  /** For a third tip beside two, in the same unit. Ours: no board that we have has three. */
  crowdedThird: 7,
  /** For a tip at the fret where the index lies flat: the index could lie there too. Ours, and nothing speaks against it. */
  besideFlat: 5,
  /** For each mm of a flat finger beyond its first course: it has to press in the hollow of its joints. Learned. */
  flatLength: 0.145,
  /** For each course beyond two that a flat finger presses, two strings to it: the force is shared. Ours. */
  flatCourses: 2,
  /** For a finger other than the index that lies flat, each step of its unwillingness. Learned. */
  flatFinger: 9.3,
  /** For each course that a flat finger passes over and must leave free, open or stopped lower. Learned. */
  flatOverLower: 8.8,
  /** For using the little finger, the weakest. Learned. */
  little: 5.7,
  /** For each mm that the little finger, the shortest, reaches across from the treble course. Learned. */
  littleAcross: 0.22,
  /** For leaving the index, the surest, in the air. Learned. */
  idleIndex: 5.1,
  /** For two fingers at one fret with the lower on the treble side: the wrist turns against the neck. Ours. */
  order: 10,
  /** For each mm that the hand stands away from the nut while an open course sounds. Ours. */
  offNut: 0.1,
};

/** The parts a grip's price is shown in, each with the measures it takes together. */
export const gripParts = [
  ['reach', ['stretch', 'stretchBesideFlat', 'nearLimit', 'offNut']],
  ['crowded fingers', ['cramped', 'crowded', 'crowdedThird', 'besideFlat']],
  ['flat finger', ['flatLength', 'flatCourses', 'flatFinger', 'flatOverLower']],
  ['weak fingers', ['little', 'littleAcross', 'idleIndex', 'order']],
] as const satisfies readonly (readonly [string, readonly GripFeature[]])[];

const measures: GripMeasures = noMeasures();

// The same prices and parts by place.
const prices = Float64Array.from(gripFeatures, (name) => gripPrices[name]);
const partPlaces = gripParts.map(([name, features]) => ({
  name,
  places: features.map((feature) => gripFeatures.indexOf(feature)),
}));

/** What holding frets with these fingers costs a hand, ms (not rounded). */
export function gripMs(
  frets: Frets,
  fingers: readonly (Finger | null)[],
  instrument: Instrument,
  hand: PlayerHand = usualHand,
): number {
  measureGrip(frets, fingers, instrument, hand, measures);
  let ms = 0;
  for (let at = 0; at < prices.length; at += 1) ms += priced(at);
  return ms;
}

/**
 * What holding frets with these fingers costs, whole ms, by its parts in the order of `gripParts`. They add up to the
 * whole price, rounded once: each is what the rounded sum grows by.
 */
export function gripPartsOf(
  frets: Frets,
  fingers: readonly (Finger | null)[],
  instrument: Instrument,
  hand: PlayerHand = usualHand,
): readonly { readonly name: string; readonly ms: number }[] {
  measureGrip(frets, fingers, instrument, hand, measures);
  let sum = 0;
  return partPlaces.map(({ name, places }) => {
    const before = Math.round(sum);
    for (const at of places) sum += priced(at);
    return { name, ms: Math.round(sum) - before };
  });
}

function priced(at: number): number {
  return (prices[at] as number) * (measures[at] as number);
}
