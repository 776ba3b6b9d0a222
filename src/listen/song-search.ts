import type { ChordGuess } from './chord-guess.js';
import type { ExpectedStroke } from './expected.js';
import { type Pair, PairSearch } from './pair-search.js';
import type { TimedStroke } from './timed-stroke.js';

/** A stroke that was heard somewhere in a recording, `at` in ms from its start, and what its chord may be. */
export interface PlacedStroke extends TimedStroke {
  readonly guess: ChordGuess;
}

/** Where a pass is looked for. */
export interface SearchRange {
  /** Slowness is how many times longer than written everything lasts: from … to …, both greater than 0. */
  readonly slowness: readonly [from: number, to: number];
  /** Where the first stroke is most likely, ms: after the pass before. `null`: at the recording's first strokes. */
  readonly near: number | null;
}

/** A pass that was found: `start` is when its tick 0 sounds, ms from the start of the recording. */
export interface FoundPass {
  readonly start: number;
  readonly slowness: number;
  readonly pairs: readonly Pair[];
  /** What the pairs cost with all that is left without one; to compare what was found with other passes for the same strokes. */
  readonly cost: number;
}

/** This much of the written pass, from its beginning, gives tempo and start roughly, ms; a tempo that changes has not gone far by then. */
const opening = 20_000;
/** Steps of the start, ms, and how far a stroke may lie beside its place, in steps. */
const step = 10;
const reach = 5;
/** From one tempo tried to the next: by this much the opening's end is no further off than a stroke may lie. */
const tempoStep = 0.003;
/** This many starts with their tempos are looked at closely, the likeliest first, and this many of each tempo. */
const mostLooked = 24;
const perTempo = 4;
/** Two of them are apart when they differ so much: starts in ms, tempos as a share. */
const apart = { start: 60, tempo: 0.012 } as const;
/** The first stroke of the pass may be left out, so that it begins so long before the first that was heard, ms. */
const before = 2500;
/** What each stroke costs that is heard before the pass begins: music begins sooner rather than later, but may be counted in. */
const skipped = 0.25;
/** A less likely chord speaks against a pair in proportion, but no more than this: hands err. */
const chordShare = 0.35;
const mostChord = 2.5;

/**
 * Finds start and tempo of a pass among strokes that were heard: first roughly, by how many strokes of its opening agree with one
 * start at one tempo (a Hough transform: Ballard, Generalizing the Hough transform, Pattern Recognition 13, 1981), then by pairing the
 * likeliest with all of the pass. `null` when nothing agrees. Both lists are in the order of their times.
 */
export function findPass(
  expected: readonly ExpectedStroke[],
  heard: readonly PlacedStroke[],
  range: SearchRange,
): FoundPass | null {
  let best: FoundPass | null = null;
  for (const { start, slowness } of roughPlaces(expected, heard, range)) {
    const { pairs, cost } = pairsOf(expected, heard, (place) => start + slowness * place);
    const early = heard.filter(({ at }) => at < start - 100).length;
    const total = cost + skipped * early;
    if (pairs.length > 0 && (!best || total < best.cost)) best = { start, slowness, pairs, cost: total };
  }
  return best;
}

/** The pairs of a pass whose places are played at the times that `timeOf` tells, and what they cost with all that is left. `byChords`: whether chords have a say, as long as it is not known where the pass begins. */
export function pairsOf(
  expected: readonly ExpectedStroke[],
  heard: readonly PlacedStroke[],
  timeOf: (place: number) => number,
  byChords = true,
): { pairs: Pair[]; cost: number } {
  const timed = expected.map((stroke) => ({ ...stroke, at: timeOf(stroke.at) }));
  return new PairSearch(timed, heard, 0, ({ chord }, index) => {
    if (!byChords) return 0;
    const less = heard[index]?.guess?.get(chord.name) ?? 0;
    return Math.min(mostChord, -chordShare * less);
  }).best();
}

interface Rough {
  readonly start: number;
  readonly slowness: number;
  readonly value: number;
}

/** Starts and tempos at which the opening agrees best with what was heard, each apart from the others. */
function roughPlaces(
  expected: readonly ExpectedStroke[],
  heard: readonly PlacedStroke[],
  { slowness: [from, to], near }: SearchRange,
): Rough[] {
  const [first] = expected;
  const [begin] = heard;
  if (!first || !begin) return [];
  const front = expected.filter(({ at }) => at - first.at <= opening);
  const agreements = heard.map((stroke) => front.map((one) => agreement(one, stroke)));
  const origin = begin.at - before;
  const end = (heard.at(-1) as PlacedStroke).at;
  const votes = new Float64Array(Math.ceil((end - origin) / step) + 2 * reach + 2);
  const found: Rough[] = [];
  for (let slowness = from; slowness <= to * (1 + tempoStep / 2); slowness *= 1 + tempoStep) {
    votes.fill(0);
    heard.forEach((stroke, index) => {
      const agreed = agreements[index] as number[];
      for (let place = 0; place < front.length; place += 1) {
        const at = stroke.at - slowness * ((front[place] as ExpectedStroke).at - first.at) - origin;
        if (at < 0) break;
        const vote = Math.round(at / step) + reach;
        votes[vote] = (votes[vote] as number) + (agreed[place] as number);
      }
    });
    found.push(
      ...peaks(evenedOut(votes), origin).map((peak) => ({
        start: peak.at - slowness * first.at,
        slowness,
        value: peak.value * likely(peak.at, near ?? begin.at),
      })),
    );
  }
  if (near !== null)
    found.push({
      start: near - Math.sqrt(from * to) * first.at,
      slowness: Math.sqrt(from * to),
      value: Number.POSITIVE_INFINITY,
    });
  return thinned(found.sort((one, other) => other.value - one.value));
}

/** How likely a pass begins there: sooner rather than later. */
function likely(at: number, near: number): number {
  return 1 / (1 + Math.abs(at - near) / 60_000);
}

function evenedOut(votes: Float64Array): Float64Array {
  return votes.map((_, at) => {
    let sum = 0;
    for (let off = -reach; off <= reach; off += 1)
      sum += (votes[at + off] ?? 0) * (1 - Math.abs(off) / (reach + 1));
    return sum;
  });
}

function peaks(votes: Float64Array, origin: number): { at: number; value: number }[] {
  const found: { at: number; value: number }[] = [];
  for (let at = 1; at + 1 < votes.length; at += 1) {
    const value = votes[at] as number;
    if (value > 0 && value >= (votes[at - 1] as number) && value > (votes[at + 1] as number))
      found.push({ at: origin + (at - reach) * step, value });
  }
  return found.sort((one, other) => other.value - one.value).slice(0, perTempo);
}

function thinned(sorted: readonly Rough[]): Rough[] {
  const kept: Rough[] = [];
  for (const one of sorted) {
    if (kept.length >= mostLooked) break;
    const isNew = kept.every(
      ({ start, slowness }) =>
        Math.abs(start - one.start) > apart.start || Math.abs(slowness / one.slowness - 1) > apart.tempo,
    );
    if (isNew) kept.push(one);
  }
  return kept;
}

/** How well a heard stroke agrees in kind and chord with an expected one, 0–1. */
function agreement(expected: ExpectedStroke, heard: PlacedStroke): number {
  const kind = heard.kind === expected.kind ? heard.kindSure : (1 - heard.kindSure) / 2;
  return (
    (0.15 + 0.85 * kind) * Math.exp(chordShare * Math.max(-8, heard.guess?.get(expected.chord.name) ?? -1))
  );
}
