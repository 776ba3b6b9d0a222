import { chordName } from '../theory/chord.js';
import { fretsText } from './fingering.js';
import type { Motion } from './motion.js';
import type { HandPlan, PlannedChange } from './plan.js';

/** A change of a plan from one chord to another, how often it comes, and the tempo up to which it fits wherever it comes. */
export interface HardChange {
  readonly from: PlannedChange;
  readonly to: PlannedChange;
  readonly ms: number;
  readonly times: number;
  /** Quarters a minute. */
  readonly bpm: number;
}

/** How long a chop sounds: the fingers are free when it has ended. */
const chopMs = 60;

/** The changes of a plan in which the hand moves, those that fit the lowest tempo first; each once, with how often it comes in a pass. */
export function hardChanges(plan: HandPlan): readonly HardChange[] {
  const playable = plan.changes.filter((change) => change.fingering !== null);
  const found = new Map<string, HardChange>();
  playable.forEach((to, index) => {
    const from = playable[(index + playable.length - 1) % playable.length] as PlannedChange;
    if (!to.motion || to.motion.ms === 0) return;
    const key = [from, to]
      .map(
        (one) =>
          `${chordName(one.chord)} ${one.fingering && fretsText(one.fingering.frets)} ${one.fingering?.fingers.join()}`,
      )
      .join(' ');
    const bpm = fittingTempo(to.motion, roomOf(to));
    const known = found.get(key);
    found.set(
      key,
      known
        ? { ...known, times: known.times + 1, bpm: Math.min(known.bpm, bpm) }
        : { from, to, ms: to.motion.ms, times: 1, bpm },
    );
  });
  return [...found.values()].sort(
    (one, other) =>
      one.bpm - other.bpm || other.ms - one.ms || other.times - one.times || one.to.bar - other.to.bar,
  );
}

/** How many of a pass's slowest changes are marked as hard, and how much slower than its middling ones they are at least. */
const mostMarked = 3;
const slowerThanMost = 1.2;

/** For each change of a plan: whether it is one of the pass's few hard ones, and up to which tempo it fits, in quarters a minute. */
export interface Hardness {
  readonly marked: boolean;
  readonly bpm: number;
}

/** How hard each change of a plan is. Changes alike are marked alike; where all are about as slow, none is marked. */
export function hardness(plan: HandPlan): readonly Hardness[] {
  const moving = plan.changes.flatMap(({ motion }) => (motion && motion.ms > 0 ? [motion.ms] : []));
  moving.sort((one, other) => one - other);
  const middle = moving[Math.floor(moving.length / 2)] ?? 0;
  const slowest = [...new Set(moving)].slice(-mostMarked);
  const least = Math.max(slowest[0] ?? Number.POSITIVE_INFINITY, middle * slowerThanMost);
  return plan.changes.map((change): Hardness => {
    const { motion } = change;
    if (!motion || motion.ms === 0) return { marked: false, bpm: Number.POSITIVE_INFINITY };
    return { marked: motion.ms >= least, bpm: fittingTempo(motion, roomOf(change)) };
  });
}

/**
 * The highest tempo, in whole quarters a minute, at which a motion fits: the fingers are free when the last chop has
 * ended, 60 ms after its stroke, and the shape must be down at the next stroke, `quarters` after that one. With the same
 * room a slower motion never fits a higher tempo.
 *
 * @example fittingTempo({ ms: 240 }) // 200: a quarter lasts 300 ms, the chop 60 of them
 */
export function fittingTempo({ ms }: Pick<Motion, 'ms'>, quarters = 1): number {
  return Math.floor((60_000 * quarters) / (ms + chopMs));
}

/**
 * Quarters from the last stroke before a change to the stroke with which it comes. The basic pattern strikes on every
 * beat, and a chord that comes between beats has a stroke of its own.
 */
function roomOf({ beat, quarters = 1 }: Pick<PlannedChange, 'beat' | 'quarters'>): number {
  const into = beat - Math.floor(beat + 1e-9);
  return (into < 1e-9 ? 1 : into) * quarters;
}
