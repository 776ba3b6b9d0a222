import type { EffortContext } from './effort.js';
import type { Fingering } from './fingering.js';
import type { HandPlace } from './home.js';
import type { PlayerHand } from './player-hand.js';
import type { StockShape } from './stock.js';
import { usualHighestFret } from './voicing.js';

/** A way to play a chord that a plan may choose, with its own effort in whole ms. */
export interface Candidate {
  readonly fingering: Fingering;
  readonly own: number;
  /** Shown among the alternatives, never chosen by the plan: a form with an open course where closed ones are wanted. */
  readonly onlyOffered: boolean;
  /** Whether courses are left out because the hand does not reach the whole. */
  readonly reduced: boolean;
}

/** What a plan may choose from. */
export interface CandidateOptions {
  readonly hand: PlayerHand;
  /** `stock`: the shapes the trade plays, the enumeration where a quality has none; `any`: everything. */
  readonly voicings: 'stock' | 'any';
  readonly lowestFret: number;
  readonly highestFret: number;
  /** The table of stock shapes: the trade's, or those this hand knows, with its own. */
  readonly shapes: readonly StockShape[];
  /** Whether open courses are allowed, for songs that let strings ring. */
  readonly open: boolean;
  /** Where on the neck the hand is wanted; low, no key being known, when absent. */
  readonly place?: HandPlace;
}

/** The frets a plan keeps within unless told otherwise: closed shapes, below where short strings lose their bark. */
export const usualRange = { lowestFret: 1, highestFret: usualHighestFret } as const;

/** Whether a shape keeps within the frets that a plan may use. */
export function inRange(
  fingering: Pick<Fingering, 'frets'>,
  { lowestFret, highestFret }: CandidateOptions,
): boolean {
  return fingering.frets.every((at) => at === null || at === 0 || (at >= lowestFret && at <= highestFret));
}

/** What the effort of a candidate depends on. */
export function contextOf({ open, place, hand }: CandidateOptions): EffortContext {
  return { stroke: open ? 'ring' : 'chop', hand, ...(place && { place }) };
}

/** By effort; among equals the strong fingers, so that the order is the same in every key. */
export function sorted(candidates: Candidate[]): Candidate[] {
  const weak = ({ fingering }: Candidate): number =>
    fingering.fingers.reduce((sum: number, finger) => sum + (finger ?? 0), 0);
  return candidates.sort((one, other) => one.own - other.own || weak(one) - weak(other));
}
