import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { type Fingering, soundingNotes } from './fingering.js';
import { gripPartsOf } from './grip.js';
import { type HandPlace, placePrice } from './home.js';
import type { Instrument } from './instrument.js';
import type { PlayerHand } from './player-hand.js';

/**
 * What holding a voicing costs, in ms of motion one would spend to avoid it; what its fingers cost stands in
 * `grip.ts`. All values here are ours, set so that what the trade prefers comes out cheaper: all courses before
 * three, low neck before high (bark, intonation), root doubled before third, third not lowest.
 */
export const effortPrices = {
  /** For each course that does not sound. */
  missingCourse: 6,
  /** For each open course where strokes are damped at once: lifting a finger cannot choke it. */
  openChopped: 4,
  doubledThird: 12,
  thirdLowest: 10,
  /** For each tone left out that is not the fifth. */
  leftOut: 15,
  /** Fingers that are not the usual ones of a stock shape, where the hand cannot do with those. */
  unusualFingers: 40,
  /** Fingers that are usual, but not the first that the trade names: near-ties do not flip between keys. */
  secondFingers: 8,
  /** A shape that is not the plainest of its chord, by how it is used. */
  shapeUse: { low: 40, 'stand-in': 40, seldom: 100, offered: 0 },
  /** For each fret that a form for the low frets begins above the second. */
  lowFormPerFret: 20,
  /** For each course that a reduced shape leaves out because the hand does not reach the whole. */
  reducedCourse: 40,
} as const;

/** One part of an effort, by what it is for. */
export interface EffortPart {
  readonly name: string;
  readonly ms: number;
}

/** How strokes end: damped at once, or left to ring. */
export type StrokeEnd = 'chop' | 'ring';

/** What an effort depends on beside the fingering and its chord; a chop by the usual hand, low on the neck, unless it says so. */
export interface EffortContext {
  /** Tones left out, half steps above the root. */
  readonly leavesOut?: readonly number[];
  readonly stroke?: StrokeEnd;
  readonly place?: HandPlace;
  /** Whose reach it is held with. */
  readonly hand?: PlayerHand;
  /** Whether the player chose these fingers: then they cost nothing. */
  readonly given?: boolean;
}

/** The parts of a fingering's effort; those that cost nothing are left out. Whole milliseconds. */
export function effortParts(
  fingering: Fingering,
  chord: Chord,
  instrument: Instrument,
  { leavesOut = [], stroke = 'chop', place, hand, given = false }: EffortContext = {},
): readonly EffortPart[] {
  const prices = effortPrices;
  const sounding = soundingNotes(instrument, fingering.frets).filter((note) => note !== null);
  const root = pitchClass(chord.root);
  const steps = sounding.map((note) => (note - root + 120) % 12);
  const isThird = (step: number | undefined): boolean => step === 3 || step === 4;
  const open = stroke === 'chop' ? fingering.frets.filter((at) => at === 0).length : 0;
  const lowest = sounding.length > 0 ? steps[sounding.indexOf(Math.min(...sounding) as never)] : undefined;
  const parts: EffortPart[] = [
    { name: 'courses not sounding', ms: (fingering.frets.length - sounding.length) * prices.missingCourse },
    ...(given ? [] : gripPartsOf(fingering.frets, fingering.fingers, instrument, hand)),
    { name: 'high on the neck', ms: placePrice(fingering.frets, place) },
    { name: 'open courses', ms: open * prices.openChopped },
    { name: 'third doubled', ms: steps.filter(isThird).length > 1 ? prices.doubledThird : 0 },
    { name: 'third lowest', ms: isThird(lowest) ? prices.thirdLowest : 0 },
    { name: 'tones left out', ms: leavesOut.filter((step) => step !== 7).length * prices.leftOut },
  ];
  return parts.map(({ name, ms }) => ({ name, ms: Math.round(ms) })).filter(({ ms }) => ms > 0);
}

/** A fingering's effort as a whole, ms. */
export function effortOf(parts: readonly EffortPart[]): number {
  return parts.reduce((sum, { ms }) => sum + ms, 0);
}
