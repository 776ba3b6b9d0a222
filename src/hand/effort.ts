import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { type Fingering, soundingNotes } from './fingering.js';
import { flatFingers } from './fingerings.js';
import { type HandPlace, placePrice, usualPlace } from './home.js';
import type { Instrument } from './instrument.js';
import { stretch } from './voicing.js';

/**
 * What holding a fingering costs, in ms of motion one would spend to avoid it. All values are ours, set so that
 * what the trade prefers comes out cheaper: all courses before three, low neck before high (bark, intonation), no
 * flattened finger on double courses (it chokes badly), root doubled before third, third not lowest, short reach.
 */
export const effortPrices = {
  /** For each course that does not sound. */
  missingCourse: 6,
  /** For each mm of reach beyond a relaxed hand. */
  reachPerMm: 0.5,
  relaxedReach: 45,
  /** For each course beyond the first under a flat finger, by the strings of a course and how the stroke ends. */
  flatDouble: { chop: 45, ring: 20 },
  flatSingle: { chop: 6, ring: 0 },
  doubledThird: 12,
  thirdLowest: 10,
  /** For each tone left out that is not the fifth. */
  leftOut: 15,
  /** Fingers that are not the usual ones of a stock shape, where the hand cannot do with those. */
  unusualFingers: 40,
  /** A shape that is not the plainest of its chord, by how it is used. */
  shapeUse: { low: 40, 'stand-in': 40, seldom: 100, offered: 0 },
  /** For each fret that a form for the low frets begins above the second. */
  lowFormPerFret: 20,
  /** A shape with courses left out because the hand does not reach the whole. */
  reducedShape: 80,
} as const;

/** One part of an effort, by what it is for. */
export interface EffortPart {
  readonly name: string;
  readonly ms: number;
}

/** How strokes end: damped at once, or left to ring. */
export type StrokeEnd = 'chop' | 'ring';

/** The parts of a fingering's effort; those that cost nothing are left out. Whole milliseconds. */
export function effortParts(
  fingering: Fingering,
  chord: Chord,
  instrument: Instrument,
  leavesOut: readonly number[] = [],
  stroke: StrokeEnd = 'chop',
  place: HandPlace = usualPlace,
): readonly EffortPart[] {
  const prices = effortPrices;
  const fretted = fingering.frets.filter((at) => at !== null && at > 0) as number[];
  const low = Math.min(...fretted);
  const high = Math.max(...fretted);
  const sounding = soundingNotes(instrument, fingering.frets).filter((note) => note !== null);
  const root = pitchClass(chord.root);
  const steps = sounding.map((note) => (note - root + 120) % 12);
  const isThird = (step: number | undefined): boolean => step === 3 || step === 4;
  const flat = flatFingers(fingering).reduce((sum, { courses }) => sum + courses - 1, 0);
  const doubled = (instrument.courses[0]?.strings ?? 1) > 1;
  const lowest = sounding.length > 0 ? steps[sounding.indexOf(Math.min(...sounding) as never)] : undefined;
  const parts: EffortPart[] = [
    { name: 'courses not sounding', ms: (fingering.frets.length - sounding.length) * prices.missingCourse },
    {
      name: 'reach',
      ms: Math.max(0, stretch(instrument, low, high) - prices.relaxedReach) * prices.reachPerMm,
    },
    { name: 'high on the neck', ms: placePrice(fingering.frets, place) },
    { name: 'flat finger', ms: flat * (doubled ? prices.flatDouble : prices.flatSingle)[stroke] },
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
