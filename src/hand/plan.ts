import { type Chord, chordName } from '../theory/chord.js';
import type { NumberChord } from '../theory/number.js';
import { type Fingering, fretsText } from './fingering.js';
import type { Instrument } from './instrument.js';
import { type Motion, motion } from './motion.js';
import { stockFingerings } from './stock.js';

/** One chord as it comes in a pass: where (bar from 0, beat from 0), and what it is. */
export interface Change {
  readonly bar: number;
  readonly beat: number;
  readonly number: NumberChord;
  readonly chord: Chord;
}

/** Another way to play a chord where it stands, and what the pass would cost more by it. */
export interface Alternative {
  readonly fingering: Fingering;
  readonly moreMs: number;
}

/** One chord of a hand plan. `fingering` is `null` when no shape is known; `motion` when there is nothing to come from. */
export interface PlannedChange extends Change {
  readonly fingering: Fingering | null;
  readonly motion: Motion | null;
  /** Best first, without the chosen one. */
  readonly alternatives: readonly Alternative[];
}

/** A hand plan: one fingering for every chord of a pass, the least effort as a whole. */
export interface HandPlan {
  readonly instrument: Instrument;
  readonly changes: readonly PlannedChange[];
  /** The sum of all motions in ms, the way back from the last to the first included. */
  readonly totalMs: number;
}

/**
 * Plans the hand for a pass that repeats: the chords form a ring, and the sum of all motions and
 * of each fingering's own effort is the least there is. Exact, by dynamic programming along the ring,
 * cut open at the chord with the fewest candidates; ties go to the candidate listed first.
 */
export function planHand(changes: readonly Change[], instrument: Instrument): HandPlan {
  const candidatesOf = candidateTable(instrument);
  const playable = changes.filter((change) => candidatesOf(change.chord).length > 0);
  const candidates = playable.map((change) => candidatesOf(change.chord));
  const cost = costTable(instrument);
  const chosen = cheapestRing(candidates, cost);
  const planned = new Map<Change, PlannedChange>();
  let totalMs = 0;
  playable.forEach((change, index) => {
    const before = (index + playable.length - 1) % playable.length;
    const after = (index + 1) % playable.length;
    const fingering = chosen[index] as Fingering;
    const alone = playable.length === 1;
    const way = alone ? null : cost.motionOf(chosen[before] as Fingering, fingering);
    totalMs += way?.ms ?? 0;
    const around = (one: Fingering): number =>
      cost.own(one) +
      (alone
        ? 0
        : cost.between(chosen[before] as Fingering, one) + cost.between(one, chosen[after] as Fingering));
    const alternatives = (candidates[index] ?? [])
      .filter((one) => one !== fingering)
      .map((one) => ({ fingering: one, moreMs: around(one) - around(fingering) }))
      .sort((one, other) => one.moreMs - other.moreMs);
    planned.set(change, { ...change, fingering, motion: way, alternatives });
  });
  return {
    instrument,
    changes: changes.map(
      (change) => planned.get(change) ?? { ...change, fingering: null, motion: null, alternatives: [] },
    ),
    totalMs,
  };
}

function candidateTable(instrument: Instrument): (chord: Chord) => readonly Fingering[] {
  const known = new Map<string, readonly Fingering[]>();
  return (chord) => {
    const name = chordName({ ...chord, bass: null });
    const found = known.get(name) ?? stockFingerings(chord, instrument);
    known.set(name, found);
    return found;
  };
}

/** The whole-millisecond costs the solver adds up. */
export interface Costs {
  readonly own: (one: Fingering) => number;
  readonly between: (from: Fingering, to: Fingering) => number;
}

/** Effort of holding a fingering, in ms of motion it may cost to avoid it: a high neck place and a missing course. */
function ownEffort(fingering: Fingering): number {
  const sounding = fingering.frets.filter((at) => at !== null);
  const missing = fingering.frets.length - sounding.length;
  return missing * 2 + Math.max(0, Math.max(...sounding) - 7);
}

function costTable(instrument: Instrument): Costs & { motionOf: (from: Fingering, to: Fingering) => Motion } {
  const known = new Map<string, Motion>();
  const text = new Map<Fingering, string>();
  const name = (one: Fingering): string => {
    const found = text.get(one) ?? `${fretsText(one.frets)} ${one.fingers.join('')}`;
    text.set(one, found);
    return found;
  };
  const motionOf = (from: Fingering, to: Fingering): Motion => {
    const both = `${name(from)} ${name(to)}`;
    const found = known.get(both) ?? motion(from, to, instrument);
    known.set(both, found);
    return found;
  };
  return { motionOf, own: ownEffort, between: (from, to) => motionOf(from, to).ms };
}

/** The fingering of each chord so that the ring as a whole costs least. */
export function cheapestRing(
  candidates: readonly (readonly Fingering[])[],
  cost: Costs,
): readonly Fingering[] {
  const length = candidates.length;
  if (length === 0) return [];
  let cutAt = 0;
  candidates.forEach((list, index) => {
    if (list.length < (candidates[cutAt] as readonly Fingering[]).length) cutAt = index;
  });
  const ring = candidates.map((_, index) => candidates[(index + cutAt) % length] as readonly Fingering[]);
  let best: { cost: number; path: Fingering[] } | null = null;
  for (const start of ring[0] as readonly Fingering[]) {
    const found = cheapestPath(start, ring, cost);
    if (best === null || found.cost < best.cost) best = found;
  }
  const path = best?.path ?? [];
  return candidates.map((_, index) => path[(index - cutAt + length) % length] as Fingering);
}

function cheapestPath(
  start: Fingering,
  ring: readonly (readonly Fingering[])[],
  cost: Costs,
): { cost: number; path: Fingering[] } {
  let reached: number[] = [cost.own(start)];
  let previous: readonly Fingering[] = [start];
  const back: number[][] = [];
  for (const list of ring.slice(1)) {
    const next: number[] = [];
    const from: number[] = [];
    for (const one of list) {
      let least = Number.POSITIVE_INFINITY;
      let by = 0;
      previous.forEach((before, index) => {
        const sum = (reached[index] as number) + cost.between(before, one);
        if (sum < least) {
          least = sum;
          by = index;
        }
      });
      next.push(least + cost.own(one));
      from.push(by);
    }
    back.push(from);
    reached = next;
    previous = list;
  }
  const closed = reached.map((sum, index) =>
    ring.length > 1 ? sum + cost.between(previous[index] as Fingering, start) : sum,
  );
  let index = closed.indexOf(Math.min(...closed));
  const total = closed[index] as number;
  const path: Fingering[] = [];
  for (let at = ring.length - 1; at >= 1; at -= 1) {
    path.unshift((ring[at] as readonly Fingering[])[index] as Fingering);
    index = (back[at - 1] as number[])[index] as number;
  }
  return { cost: total, path: [start, ...path] };
}
