import { median } from './estimate.js';
import type { ExpectedStroke } from './expected.js';
import type { Pair } from './pair-search.js';
import { usualInterval } from './pairing.js';
import { curveOfPieces, type PassPiece, pairsOfPieces, passPieces } from './pass-pieces.js';
import { type FoundPass, findPass, type PlacedStroke, pairsOf, type SearchRange } from './song-search.js';
import type { PassPlan } from './take.js';
import { steadyCurve, type TimeCurve, type Timed } from './time-curve.js';

/** The fewest strokes that make a pass, and the share of what it has that must be found in it. */
export const fewest = 8;
const leastFound = 0.4;
/** The times of a pass are fitted and paired again this many times. */
const rounds = 3;
/** At a steady tempo the first so many pairs tell where it begins: later ones may have run from it. */
const firstPairs = 16;
/** Half of the strokes lie within this share of the usual time from stroke to stroke from where they belong: beginners' within a tenth. Where two musics have nothing to do with each other it is more. */
const mostUneven = 0.13;

/** A pass that was found in a recording: which strokes of it were heard, and when its places were played. */
export interface PlacedPass {
  readonly plan: PassPlan;
  readonly pairs: readonly Pair[];
  readonly curve: TimeCurve;
}

/** The pass that explains the next strokes best; `null` when none does. */
export function placePass(
  plans: readonly PassPlan[],
  heard: readonly PlacedStroke[],
  range: SearchRange,
  steady: number | null,
): PlacedPass | null {
  let best: { plan: PassPlan; found: FoundPass } | null = null;
  for (const plan of plans) {
    const found = findPass(plan.expected, heard, range);
    if (found && (!best || found.cost < best.found.cost)) best = { plan, found };
  }
  if (!best) return null;
  const { plan, found } = best;
  const { expected } = plan;
  const pieces = passPieces(plan);
  let pairs = pieces.length > 1 ? pairsOfPieces(expected, heard, pieces, range) : found.pairs;
  let curve: TimeCurve = steadyCurve([], found.slowness);
  for (let round = 0; round < rounds; round += 1) {
    if (pairs.length < fewest) return null;
    const timesOf = ({ from, to }: PassPiece): Timed[] =>
      pairs
        .filter((pair) => pair.expected >= from && pair.expected < to)
        .map((pair) => ({
          place: (expected[pair.expected] as ExpectedStroke).at,
          at: (heard[pair.heard] as PlacedStroke).at,
        }));
    curve = curveOfPieces(expected, pieces, timesOf);
    if (steady !== null) {
      const click = curveOfPieces(expected, pieces, timesOf, (times) =>
        steadyCurve(times.slice(0, firstPairs), steady),
      );
      // A player who is further than a stroke from the click no longer hears it, and plays at a tempo of their own.
      const isNear = pieces
        .flatMap(timesOf)
        .every(({ place }) => Math.abs(curve.at(place) - click.at(place)) < gapOf(expected, click));
      if (isNear) curve = click;
    }
    // Once its place is known a wrong chord is still the stroke that it was meant for.
    pairs = pairsOf(expected, heard, (place) => curve.at(place), round < rounds - 1).pairs;
  }
  const reached = (pairs.at(-1)?.expected ?? -1) + 1;
  const isFound = pairs.length >= fewest && pairs.length >= leastFound * reached;
  const isByChance = median(besides(expected, heard, pairs, curve)) > mostUneven * gapOf(expected, curve);
  return isFound && !isByChance ? { plan, pairs, curve } : null;
}

/** The usual time from stroke to stroke as it was played, ms. */
export function gapOf(expected: readonly ExpectedStroke[], curve: TimeCurve): number {
  return usualInterval(expected) * curve.slowness((expected[0]?.at ?? 0) + (expected.at(-1)?.at ?? 0) / 2);
}

/** Ms that the pairs lie beside the curve. */
function besides(
  expected: readonly ExpectedStroke[],
  heard: readonly PlacedStroke[],
  pairs: readonly Pair[],
  curve: TimeCurve,
): number[] {
  return pairs.map((pair) =>
    Math.abs(
      (heard[pair.heard] as PlacedStroke).at - curve.at((expected[pair.expected] as ExpectedStroke).at),
    ),
  );
}
