import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { type Fingering, soundingNotes } from './fingering.js';
import { flatFingers } from './fingerings.js';
import { fret, fretPlace, type Instrument } from './instrument.js';
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
  /** For each mm that the hand's middle stands beyond the fourth fret. */
  heightPerMm: 0.12,
  /** For each course beyond the first under a flat finger, by the strings of a course and how the stroke ends. */
  flatDouble: { chop: 45, ring: 20 },
  flatSingle: { chop: 6, ring: 0 },
  doubledThird: 12,
  thirdLowest: 10,
  /** For each tone left out that is not the fifth. */
  leftOut: 15,
  /** Fingers that are not the usual ones of a stock shape: the margin that keeps near-ties from flipping between keys. */
  unusualFingers: 15,
  /** A shape that is played only now and then beside the plainer one of its kind. */
  seldomShape: 30,
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
): readonly EffortPart[] {
  const prices = effortPrices;
  const fretted = fingering.frets.filter((at) => at !== null && at > 0) as number[];
  const low = Math.min(...fretted);
  const high = Math.max(...fretted);
  const sounding = soundingNotes(instrument, fingering.frets).filter((note) => note !== null);
  const root = pitchClass(chord.root);
  const steps = sounding.map((note) => (note - root + 120) % 12);
  const isThird = (step: number | undefined): boolean => step === 3 || step === 4;
  const middle =
    fretted.length === 0 ? 0 : (fretPlace(instrument, fret(low)) + fretPlace(instrument, fret(high))) / 2;
  const flat = flatFingers(fingering).reduce((sum, { courses }) => sum + courses - 1, 0);
  const doubled = (instrument.courses[0]?.strings ?? 1) > 1;
  const lowest = sounding.length > 0 ? steps[sounding.indexOf(Math.min(...sounding) as never)] : undefined;
  const parts: EffortPart[] = [
    { name: 'courses not sounding', ms: (fingering.frets.length - sounding.length) * prices.missingCourse },
    {
      name: 'reach',
      ms: Math.max(0, stretch(instrument, low, high) - prices.relaxedReach) * prices.reachPerMm,
    },
    {
      name: 'high on the neck',
      ms: Math.max(0, middle - fretPlace(instrument, fret(4))) * prices.heightPerMm,
    },
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
