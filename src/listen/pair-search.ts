import type { ExpectedStroke } from './expected.js';
import { leftOut, ownCost, spreadWhere, timeCost, tooMany, wrongChord } from './pair-cost.js';
import { type TimedStroke, wasChord } from './timed-stroke.js';

/** An expected stroke and the heard one that was meant for it, by their indices. */
export interface Pair {
  readonly expected: number;
  readonly heard: number;
}

/** This many strokes in a row may be left out by the hand, or be too many; after a longer silence the pairing goes on from the best before it. */
const mostLeftOut = 12;
const mostExtra = 8;
/** A stroke is never meant for one that is further away than this share of the distance to its neighbour. */
const reachShare = 0.48;
/** How the predicted error follows the errors: its level and its slope (an alpha-beta filter). */
const [alpha, beta] = [0.25, 0.03];
/** A hand drifts from the click by this share at most: more is not playing along. */
const mostSlope = 0.2;
/** This many ways to a stroke are kept, the cheapest ones: others speak of too many strokes in a row. */
const mostWays = 6;

/** The best way to pair up to one pair: what it costs, the pair before, and the error that is predicted from it. */
interface State extends Pair {
  readonly cost: number;
  readonly before: State | null;
  /** Ms that a stroke at the expected time `at` would come behind it, and what that grows by for each ms. */
  readonly level: number;
  readonly slope: number;
  readonly at: number;
}

/**
 * The pairing of least cost, by dynamic programming. What a pair costs depends on the error that the pairs before it predict, so that a hand that
 * runs from the click is followed however far; each state keeps its own predicted error (Raheli, Polydoros and Tzou,
 * Per-survivor processing, IEEE Transactions on Communications 43, 1995). Time and memory are in proportion to the strokes.
 */
export class PairSearch {
  private readonly gaps: readonly number[];

  constructor(
    private readonly expected: readonly ExpectedStroke[],
    private readonly heard: readonly TimedStroke[],
    private readonly offset: number,
    /** What the chord of a heard stroke, by its index, speaks against an expected one. */
    private readonly chordCost: (expected: ExpectedStroke, heard: number) => number = (stroke, one) =>
      wasChord(heard[one] as TimedStroke, stroke.chord.name) === false ? wrongChord : 0,
  ) {
    this.gaps = expected.map(({ at }, index) => {
      const before = at - (expected[index - 1]?.at ?? Number.NEGATIVE_INFINITY);
      const behind = (expected[index + 1]?.at ?? Number.POSITIVE_INFINITY) - at;
      const gap = Math.min(before, behind);
      return Number.isFinite(gap) ? Math.max(40, gap) : 500;
    });
  }

  /** The pairs, in order. */
  pairs(): Pair[] {
    return this.best().pairs;
  }

  /** The pairs, in order, and what they cost together with all strokes that are left without one. */
  best(): { pairs: Pair[]; cost: number } {
    const { expected, heard } = this;
    /** States by their expected stroke; only the last ones are looked at. */
    const rows: State[][] = [];
    let best: State | null = null;
    let bestCost = expected.length * leftOut + heard.length * tooMany;
    const all = bestCost;
    let from = 0;
    for (let index = 0; index < expected.length; index += 1) {
      const row: State[] = [];
      const before = rows.slice(Math.max(0, index - mostLeftOut - 1), index).flat();
      // After a longer silence it goes on from the best there was.
      if (best && best.expected < index - mostLeftOut - 1) before.push({ ...best, slope: 0 });
      const { near, far } = this.window(index, before);
      while (from > 0 && (heard[from - 1] as TimedStroke).at >= near) from -= 1;
      while (from < heard.length && (heard[from] as TimedStroke).at < near) from += 1;
      for (let one = from; one < heard.length && (heard[one] as TimedStroke).at <= far; one += 1) {
        const state = this.reached(index, one, before);
        if (!state) continue;
        row.push(state);
        // What is left after this pair is counted as left out, so that ends can be compared.
        const total = state.cost + all - (index + 1) * leftOut - (one + 1) * tooMany;
        if (total < bestCost) [bestCost, best] = [total, state];
      }
      rows.push(row.sort((one, other) => this.perHeard(one) - this.perHeard(other)).slice(0, mostWays));
    }
    const found: Pair[] = [];
    for (let state: State | null = best; state; state = state.before)
      found.push({ expected: state.expected, heard: state.heard });
    return { pairs: found.reverse(), cost: bestCost };
  }

  /** From when to when a stroke for this one may be heard, by what the states before predict. */
  private window(index: number, before: readonly State[]): { near: number; far: number } {
    const { at } = this.expected[index] as ExpectedStroke;
    const reach = reachShare * (this.gaps[index] as number);
    let [least, most] = [this.offset, this.offset];
    for (const state of before) {
      const foretold = foretell(state, at);
      least = Math.min(least, foretold);
      most = Math.max(most, foretold);
    }
    return { near: at + least - reach, far: at + most + reach };
  }

  /** The cheapest way to this pair; `null` when it lies too far from whatever is predicted. */
  private reached(index: number, one: number, before: readonly State[]): State | null {
    const expected = this.expected[index] as ExpectedStroke;
    const heard = this.heard[one] as TimedStroke;
    const error = heard.at - expected.at;
    const own = ownCost(expected, heard) + this.chordCost(expected, one);
    let best: State | null = null;
    const take = (previous: State | null, cost: number, foretold: number, slope: number): void => {
      const off = error - foretold;
      const gap = this.gaps[index] as number;
      if (Math.abs(off) > reachShare * gap) return;
      const spread = spreadWhere(gap);
      const sum = cost + own + timeCost(off, spread);
      if (best && best.cost <= sum) return;
      // One stroke far off does not draw what is predicted after itself.
      const held = Math.max(-2 * spread, Math.min(2 * spread, off));
      const since = previous ? expected.at - previous.at : 0;
      best = {
        expected: index,
        heard: one,
        cost: sum,
        before: previous,
        level: foretold + alpha * held,
        slope: since > 0 ? bounded(slope + (beta * held) / Math.max(since, gap)) : slope,
        at: expected.at,
      };
    };
    take(null, index * leftOut + one * tooMany, this.offset, 0);
    for (const state of before) {
      const skipped = one - state.heard - 1;
      const silent = index - state.expected - 1 > mostLeftOut;
      if (skipped < 0 || (skipped > mostExtra && !silent)) continue;
      const cost = state.cost + (index - state.expected - 1) * leftOut + skipped * tooMany;
      take(state, cost, foretell(state, expected.at), state.slope);
    }
    return best;
  }

  /** What a way costs beside others to the same expected stroke: what it has left unpaired so far is paid by all that follows. */
  private perHeard({ cost, heard }: State): number {
    return cost - (heard + 1) * tooMany;
  }
}

function foretell({ level, slope, at }: State, to: number): number {
  return level + slope * (to - at);
}

function bounded(slope: number): number {
  return Math.max(-mostSlope, Math.min(mostSlope, slope));
}
