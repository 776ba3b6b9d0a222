import { type Finger, type Fingering, parseFrets } from '../hand/fingering.js';
import { fittingTempo } from '../hand/hard-changes.js';
import type { Instrument } from '../hand/instrument.js';
import { type Motion, motion } from '../hand/motion.js';
import { type Prices, usualPrices } from '../hand/prices.js';
import type { DiaryEntry } from './diary.js';

/** Where shapes known only by their distances are laid for their motion to be measured: the middle of the neck. */
const middleFret = 5;

/** A marked pass of a change: the motion, the tempo, and whether it was clean. */
export interface Observation {
  readonly motion: Motion;
  /** Quarters a minute. */
  readonly bpm: number;
  readonly clean: boolean;
}

/** The motion that a change's id names, laid in the middle of the neck; `null` where the id cannot be read. */
export function motionOf(id: string, instrument: Instrument, prices: Prices = usualPrices): Motion | null {
  const [from, to] = id.split('>').map((shape) => fingeringOf(shape, instrument));
  return from && to ? motion(from, to, instrument, prices) : null;
}

function fingeringOf(shape: string, instrument: Instrument): Fingering | null {
  const [frets = '', fingers = ''] = shape.split('/');
  const count = instrument.courses.length;
  const places = frets.split('-');
  const hands = fingers.split('-');
  const good =
    places.length === count &&
    hands.length === count &&
    places.every((at) => /^(?:x|o|\d{1,2})$/.test(at)) &&
    hands.every((one) => /^(?:x|[1-4])$/.test(one));
  if (!good) return null;
  const laid = places.map((at) => (at === 'x' ? 'x' : at === 'o' ? '0' : String(Number(at) + middleFret)));
  return {
    frets: parseFrets(laid.join('-')),
    fingers: hands.map((one) => (one === 'x' ? null : (Number(one) as Finger))),
    shape: null,
    remark: '',
  };
}

/** What the diary says about speed: every marked pass of one or two changes, as a pass of the slower of them. */
export function observations(entries: readonly DiaryEntry[], instrument: Instrument): readonly Observation[] {
  return entries.flatMap((entry): Observation[] => {
    if (entry.result === 'unmarked' || entry.changes.length === 0 || entry.changes.length > 2) return [];
    const motions = entry.changes.flatMap(([id]) => motionOf(id, instrument) ?? []);
    const slowest = motions.sort((one, other) => other.ms - one.ms)[0];
    return slowest ? [{ motion: slowest, bpm: entry.bpm, clean: entry.result === 'clean' }] : [];
  });
}

/** How well a model says what will be clean: the mean of −ln of the probability it gave to what happened, and the share it got right. */
export interface Judged {
  readonly loss: number;
  readonly right: number;
}

/** A player's own speed. */
export interface Fit {
  readonly prices: Prices;
  /** The player's times as a share of the usual prices' times. */
  readonly share: number;
  /** How sharply clean turns into missed around the limit. */
  readonly sharpness: number;
  readonly passes: number;
  /** On passes that the fit has not seen: the fit, the usual prices, and always saying how many are clean. */
  readonly heldOut: {
    readonly count: number;
    readonly fit: Judged;
    readonly usual: Judged;
    readonly rate: Judged;
  } | null;
}

/** Fewer marked passes than this say nothing. */
export const leastPasses = 20;
/** One in this many passes is left out of the fit, to judge it by. */
const heldEvery = 5;

/**
 * Fits the hand's prices to a diary: all times scaled by one share, and how sharp the limit is, so that what was clean and
 * what was missed is as probable as possible (a logistic curve over the logarithm of limit and tempo). `null` where too
 * little was marked. Passes that were left out of the fit show how good it is.
 */
export function fitSpeed(list: readonly Observation[]): Fit | null {
  if (list.length < leastPasses) return null;
  const held = list.filter((_, index) => index % heldEvery === heldEvery - 1);
  const seen = list.filter((_, index) => index % heldEvery !== heldEvery - 1);
  const trial = bestFit(seen);
  const whole = bestFit(list);
  const rate = Math.min(0.99, Math.max(0.01, seen.filter(({ clean }) => clean).length / seen.length));
  return {
    prices: scaled(whole.share),
    share: whole.share,
    sharpness: whole.sharpness,
    passes: list.length,
    heldOut: {
      count: held.length,
      fit: judged(held, (one) => chance(one, trial.share, trial.sharpness)),
      usual: judged(held, (one) => chance(one, 1, trial.sharpness)),
      rate: judged(held, () => rate),
    },
  };
}

/** The usual prices with every time scaled. */
export function scaled(share: number): Prices {
  const { intercept, slope, lift, land } = usualPrices;
  return {
    ...usualPrices,
    intercept: intercept * share,
    slope: slope * share,
    lift: lift * share,
    land: land * share,
  };
}

/** The probability that a pass is clean: one half where the tempo is the motion's limit. */
function chance({ motion: way, bpm }: Observation, share: number, sharpness: number): number {
  const limit = limitOf(way, share);
  return 1 / (1 + Math.exp(-sharpness * Math.log(limit / bpm)));
}

const limits = new WeakMap<Motion, Map<number, number>>();

function limitOf(way: Motion, share: number): number {
  const known = limits.get(way) ?? new Map<number, number>();
  limits.set(way, known);
  const limit = known.get(share) ?? fittingTempo({ ms: way.ms * share });
  known.set(share, limit);
  return limit;
}

function bestFit(list: readonly Observation[]): { share: number; sharpness: number } {
  let best = { share: 1, sharpness: 8 };
  let least = Number.POSITIVE_INFINITY;
  for (let step = -24; step <= 24; step += 1) {
    const share = Math.exp(step / 16);
    for (const sharpness of [2, 4, 6, 8, 12, 16, 24]) {
      // A weak belief that the player is not far from usual: it decides only where little was marked.
      const loss = judged(list, (one) => chance(one, share, sharpness)).loss * list.length + (step / 16) ** 2;
      if (loss < least) {
        least = loss;
        best = { share, sharpness };
      }
    }
  }
  return best;
}

function judged(list: readonly Observation[], probability: (one: Observation) => number): Judged {
  let loss = 0;
  let right = 0;
  for (const one of list) {
    const p = Math.min(0.999, Math.max(0.001, probability(one)));
    loss -= Math.log(one.clean ? p : 1 - p);
    if (p >= 0.5 === one.clean) right += 1;
  }
  return { loss: loss / Math.max(1, list.length), right: right / Math.max(1, list.length) };
}
