import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import { type Fingering, soundingNotes } from './fingering.js';
import { gripPartsOf } from './grip.js';
import { fret, fretPlace, type Instrument } from './instrument.js';
import { type PlayerHand, usualHand } from './player-hand.js';

/**
 * What holding a voicing costs, in ms of motion one would spend to avoid it; what its fingers cost stands in
 * `grip.ts`. All values here are ours, set so that what the trade prefers comes out cheaper: all courses before
 * three, low neck before high (bark, intonation), root doubled before third, third not lowest.
 */
export const effortPrices = {
  /** For each course that does not sound. */
  missingCourse: 6,
  /** For each mm that the hand's middle stands beyond the fourth fret. */
  heightPerMm: 0.12,
  /** For each open course where strokes are damped at once: lifting a finger cannot choke it. */
  openChopped: 4,
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

/**
 * The parts of a fingering's effort; those that cost nothing are left out. Whole milliseconds. `leavesOut`: tones of the
 * chord that do not sound, half steps above its root; `hand`: whose reach it is held with.
 */
export function effortParts(
  fingering: Fingering,
  chord: Chord,
  instrument: Instrument,
  leavesOut: readonly number[] = [],
  stroke: StrokeEnd = 'chop',
  hand: PlayerHand = usualHand,
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
  const open = stroke === 'chop' ? fingering.frets.filter((at) => at === 0).length : 0;
  const lowest = sounding.length > 0 ? steps[sounding.indexOf(Math.min(...sounding) as never)] : undefined;
  const parts: EffortPart[] = [
    { name: 'courses not sounding', ms: (fingering.frets.length - sounding.length) * prices.missingCourse },
    ...gripPartsOf(fingering.frets, fingering.fingers, instrument, hand),
    {
      name: 'high on the neck',
      ms: Math.max(0, middle - fretPlace(instrument, fret(4))) * prices.heightPerMm,
    },
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
