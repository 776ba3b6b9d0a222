import type { ExpectedStroke } from './expected.js';
import type { Pair } from './pair-search.js';
import { findPass, type PlacedStroke, type SearchRange } from './song-search.js';
import type { PassPlan } from './take.js';
import { steadyCurve, type TimeCurve, type Timed, timeCurve } from './time-curve.js';

/** Of fewer strokes than this a piece has no place of its own. */
const fewest = 8;
/** From one piece to the next the tempo may be another by this share. */
const nextRange = 0.05;

/** Strokes of a pass between two places at which time may stand still: indices, half open. */
export interface PassPiece {
  readonly from: number;
  readonly to: number;
}

/** The pieces of a pass, in order; all of it where time stands still nowhere. A piece of a few strokes belongs to the next one. */
export function passPieces({ expected, stops = [] }: PassPlan): PassPiece[] {
  const pieces: PassPiece[] = [];
  let from = 0;
  for (const stop of stops) {
    // Slightly before: what is struck when time goes on comes after the stop.
    const to = expected.findIndex(({ at }) => at >= stop - 1);
    if (to < 0 || to - from < fewest || expected.length - to < fewest) continue;
    pieces.push({ from, to });
    from = to;
  }
  return [...pieces, { from, to: expected.length }];
}

/** The pairs of a pass that is found piece by piece, the next where the one before lets it begin, or as much later or sooner as it was played. */
export function pairsOfPieces(
  expected: readonly ExpectedStroke[],
  heard: readonly PlacedStroke[],
  pieces: readonly PassPiece[],
  range: SearchRange,
): Pair[] {
  const pairs: Pair[] = [];
  let next = range;
  let rest = 0;
  for (const [index, { from, to }] of pieces.entries()) {
    const found = findPass(expected.slice(from, to), heard.slice(rest), next);
    if (!found || found.pairs.length === 0) break;
    pairs.push(...found.pairs.map((pair) => ({ expected: pair.expected + from, heard: pair.heard + rest })));
    rest = (pairs.at(-1) as Pair).heard + 1;
    const behind = pieces[index + 1];
    if (!behind || rest >= heard.length) break;
    const isTold = range.slowness[0] === range.slowness[1];
    const { start, slowness } = found;
    next = {
      slowness: isTold ? range.slowness : [slowness * (1 - nextRange), slowness * (1 + nextRange)],
      near: start + slowness * (expected[behind.from] as ExpectedStroke).at,
    };
  }
  return pairs;
}

/** A curve for each piece, as one: from a piece to the next time jumps as far as they were played apart. A piece of which little was heard goes on from the one before. */
export function curveOfPieces(
  expected: readonly ExpectedStroke[],
  pieces: readonly PassPiece[],
  timesOf: (piece: PassPiece) => readonly Timed[],
  fitted: (times: readonly Timed[]) => TimeCurve = timeCurve,
): TimeCurve {
  const parts: { from: number; curve: TimeCurve }[] = [];
  for (const piece of pieces) {
    const times = timesOf(piece);
    const from = expected[piece.from]?.at ?? 0;
    const before = parts.at(-1)?.curve;
    if (times.length >= fewest) parts.push({ from, curve: fitted(times) });
    else if (before && times.length > 1)
      parts.push({ from, curve: steadyCurve(times, before.slowness(from)) });
    else if (!before) parts.push({ from, curve: fitted(times) });
  }
  // A little before its first stroke a piece has begun: what is early is its own.
  const partAt = (place: number): TimeCurve =>
    (parts.findLast(({ from }) => place >= from - 1) ?? (parts[0] as (typeof parts)[number])).curve;
  return { at: (place) => partAt(place).at(place), slowness: (place) => partAt(place).slowness(place) };
}
