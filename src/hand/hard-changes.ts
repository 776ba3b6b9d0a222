import { chordName } from '../theory/chord.js';
import { fretsText } from './fingering.js';
import type { Motion } from './motion.js';
import type { HandPlan, PlannedChange } from './plan.js';
import { type Prices, travelMs, usualPrices } from './prices.js';

/** A change of a plan from one chord to another, how often it comes, and the tempo at which it still fits. */
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

/** The changes of a plan in which the hand moves, the slowest first; each once, with how often it comes in a pass. */
export function hardChanges(plan: HandPlan, prices: Prices = usualPrices): readonly HardChange[] {
  const playable = plan.changes.filter((change) => change.fingering !== null);
  const found = new Map<string, { from: PlannedChange; to: PlannedChange; motion: Motion; times: number }>();
  playable.forEach((to, index) => {
    const from = playable[(index + playable.length - 1) % playable.length] as PlannedChange;
    if (!to.motion || to.motion.ms === 0) return;
    const key = [from, to]
      .map(
        (one) =>
          `${chordName(one.chord)} ${one.fingering && fretsText(one.fingering.frets)} ${one.fingering?.fingers.join()}`,
      )
      .join(' ');
    const known = found.get(key);
    if (known) known.times += 1;
    else found.set(key, { from, to, motion: to.motion, times: 1 });
  });
  return [...found.values()]
    .map(
      ({ from, to, motion, times }): HardChange => ({
        from,
        to,
        ms: motion.ms,
        times,
        bpm: fittingTempo(motion, prices),
      }),
    )
    .sort((one, other) => other.ms - one.ms || other.times - one.times || one.to.bar - other.to.bar);
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
export function hardness(plan: HandPlan, prices: Prices = usualPrices): readonly Hardness[] {
  const moving = plan.changes.flatMap(({ motion }) => (motion && motion.ms > 0 ? [motion.ms] : []));
  moving.sort((one, other) => one - other);
  const middle = moving[Math.floor(moving.length / 2)] ?? 0;
  const slowest = [...new Set(moving)].slice(-mostMarked);
  const least = Math.max(slowest[0] ?? Number.POSITIVE_INFINITY, middle * slowerThanMost);
  const known = new Map<Motion, number>();
  return plan.changes.map(({ motion }): Hardness => {
    if (!motion || motion.ms === 0) return { marked: false, bpm: Number.POSITIVE_INFINITY };
    const bpm = known.get(motion) ?? fittingTempo(motion, prices);
    known.set(motion, bpm);
    return { marked: motion.ms >= least, bpm };
  });
}

/**
 * The highest tempo, in quarters a minute, at which a motion fits the basic pattern: all fingers are free when the
 * last chop has ended, the one on the lowest course is due on the next beat, where the low note is struck, the
 * others a beat later, by the next chop.
 */
export function fittingTempo(motion: Motion, prices: Prices = usualPrices): number {
  const low = lowCourseMs(motion, prices);
  const beatForLow = low === 0 ? 0 : low + chopMs;
  const beatForAll = (motion.ms + chopMs) / 2;
  return Math.floor(60_000 / Math.max(beatForLow, beatForAll, 60));
}

/** How long the finger on the lowest course that is played takes to get there. */
function lowCourseMs(motion: Motion, prices: Prices): number {
  const course = motion.to.frets.findIndex((at) => at !== null);
  const finger = motion.to.fingers[course] ?? null;
  if (finger === null || motion.planted.includes(finger)) return 0;
  const move = motion.moves.find((one) => one.finger === finger);
  if (move) return Math.round(travelMs(move.millimetres, prices));
  return motion.lands.some((one) => one.finger === finger)
    ? Math.min(motion.ms, Math.round(prices.land + travelMs(prices.target, prices)))
    : 0;
}
