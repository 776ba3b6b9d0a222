import { candidatesOf } from './candidates.js';
import { ChordEar } from './chord-ear.js';
import { ChordGuesser } from './chord-guess.js';
import { median } from './estimate.js';
import type { ExpectedStroke } from './expected.js';
import { heardChord } from './heard-chord.js';
import { judgePass } from './judge-pass.js';
import type { Level } from './limits.js';
import type { Pair } from './pair-search.js';
import { usualInterval } from './pairing.js';
import { type FoundPass, findPass, type PlacedStroke, pairsOf, type SearchRange } from './song-search.js';
import type { HeardStroke } from './strokes.js';
import { steadyCurve, type TimeCurve, timeCurve } from './time-curve.js';
import type { TimedStroke } from './timed-stroke.js';
import type { Verdict } from './verdict.js';
import type { Wav } from './wav.js';

/** A way to play a pass: its strokes at the written tempo, in the order of their times, and how long it lasts so, ms. */
export interface PassPlan {
  readonly expected: readonly ExpectedStroke[];
  readonly length: number;
}

export interface TakeOptions {
  /** Passes that may have been played: the usual one, and the final one where it has other bars. */
  readonly plans: readonly PassPlan[];
  /** The slowness that the recording was made at, as of `SearchRange`; `null`: it is found. */
  readonly slowness: number | null;
  readonly level: Level;
}

/** A pass of a recording. */
export interface TakenPass {
  readonly verdict: Verdict;
  /** When its first tick sounds, ms from the start of the recording. */
  readonly start: number;
  /** How much slower than written it went at its beginning and at its end. */
  readonly slowness: { readonly first: number; readonly last: number };
  /** The recording ends within this bar of the pass (from 0): what comes behind it was not judged; `null` when it has all of it. */
  readonly endsIn: number | null;
}

export interface Take {
  /** All strokes of the recording. */
  readonly onsets: readonly TimedStroke[];
  readonly passes: readonly TakenPass[];
}

/** Tempos that are looked for, as shares of the written one, and from one pass to the next. */
const tempoRange = 0.35;
const nextRange = 0.1;
/** The fewest strokes that make a pass, and the share of what it has that must be found in it. */
const fewest = 8;
const leastFound = 0.4;
/** A stroke's sound is looked at from so long before its attack to so long behind it, seconds. */
const around = 0.11;
/** The times of a pass are fitted and paired anew so often. */
const rounds = 3;
/** At a steady tempo the first so many pairs tell where it begins: later ones may have run from it. */
const firstPairs = 16;
/** Half of the strokes lie within this share of the usual time from stroke to stroke from where they belong: beginners' within a tenth. Where two musics have nothing to do with each other it is more. */
const mostUneven = 0.13;
/** So many bars in a row at the end that were not heard are behind the end of the recording. */
const endBars = 2;
/** The most passes of one recording: hours of music. */
const mostPasses = 1000;

/** Judges a recording of which the strokes were heard: finds the passes in it and judges each. Each step answers how far it is, 0–1. */
export function* judgeTake(
  wav: Wav,
  strokes: readonly HeardStroke[],
  options: TakeOptions,
): Generator<number, Take> {
  const { plans } = options;
  const sound = new StrokeSound(wav);
  const guesser = new ChordGuesser(
    wav.head.rate,
    plans.flatMap(({ expected }) => expected.map(({ chord }) => chord)),
  );
  const heard: PlacedStroke[] = [];
  for (const stroke of strokes) {
    const { samples, attack } = sound.of(stroke.sample);
    heard.push({
      ...stroke,
      at: (1000 * stroke.sample) / wav.head.rate,
      chord: null,
      guess: guesser.guess(samples, attack, stroke.kind),
    });
    yield (0.7 * heard.length) / strokes.length;
  }
  const ear = new ChordEar(wav.head.rate);
  const passes: TakenPass[] = [];
  let rest = 0;
  let range = firstRange(options);
  while (passes.length < mostPasses && heard.length - rest >= fewest) {
    const placed = placePass(plans, heard.slice(rest), range, options.slowness);
    if (!placed) break;
    const { plan, pairs, curve } = placed;
    const lastHeard = rest + (pairs.at(-1) as Pair).heard;
    const judged = judgeOne(placed, heard.slice(rest), {
      ear,
      sound,
      level: options.level,
      sampleOf: (index) => (strokes[rest + index] as HeardStroke).sample,
    });
    passes.push(judged);
    rest = lastHeard + 1;
    const slowness = curve.slowness(plan.length);
    range = {
      slowness:
        options.slowness === null ? [slowness * (1 - nextRange), slowness * (1 + nextRange)] : range.slowness,
      near: curve.at(plan.length + (plan.expected[0]?.at ?? 0)),
    };
    yield 0.7 + (0.3 * rest) / heard.length;
  }
  return { onsets: heard, passes };
}

function firstRange({ slowness }: TakeOptions): SearchRange {
  return {
    slowness: slowness === null ? [1 / (1 + tempoRange), 1 / (1 - tempoRange)] : [slowness, slowness],
    near: null,
  };
}

interface Placed {
  readonly plan: PassPlan;
  readonly pairs: readonly Pair[];
  readonly curve: TimeCurve;
}

/** The pass that explains the next strokes best; `null` when none does. */
function placePass(
  plans: readonly PassPlan[],
  heard: readonly PlacedStroke[],
  range: SearchRange,
  steady: number | null,
): Placed | null {
  let best: { plan: PassPlan; found: FoundPass } | null = null;
  for (const plan of plans) {
    const found = findPass(plan.expected, heard, range);
    if (found && (!best || found.cost < best.found.cost)) best = { plan, found };
  }
  if (!best) return null;
  const { plan, found } = best;
  const { expected } = plan;
  let { pairs } = found;
  let curve: TimeCurve = steadyCurve([], found.slowness);
  for (let round = 0; round < rounds; round += 1) {
    if (pairs.length < fewest) return null;
    const times = pairs.map((pair) => ({
      place: (expected[pair.expected] as ExpectedStroke).at,
      at: (heard[pair.heard] as PlacedStroke).at,
    }));
    curve = timeCurve(times);
    if (steady !== null) {
      const click = steadyCurve(times.slice(0, firstPairs), steady);
      // Who is further than a stroke from the click hears it no more, and plays at a tempo of their own.
      const isNear = times.every(
        ({ place }) => Math.abs(curve.at(place) - click.at(place)) < gapOf(expected, click),
      );
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
function gapOf(expected: readonly ExpectedStroke[], curve: TimeCurve): number {
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

interface Judging {
  readonly ear: ChordEar;
  readonly sound: StrokeSound;
  readonly level: Level;
  /** The sample of a heard stroke, by its index. */
  readonly sampleOf: (heard: number) => number;
}

function judgeOne(
  { plan, pairs, curve }: Placed,
  heard: readonly PlacedStroke[],
  { ear, sound, level, sampleOf }: Judging,
): TakenPass {
  const endsIn = endOf(plan.expected, pairs);
  const expected = plan.expected
    .filter(({ bar }) => endsIn === null || bar <= endsIn)
    .map((stroke) => ({ ...stroke, at: curve.at(stroke.at) }));
  const expectedOf = new Map(pairs.map((pair) => [pair.heard, pair.expected]));
  const [first, last] = [expected[0]?.at ?? 0, expected.at(-1)?.at ?? 0];
  const gap = gapOf(plan.expected, curve);
  // What was played before the pass, as a count-in, and behind it is none of it.
  const own = heard.flatMap((stroke, index): TimedStroke[] => {
    const isPaired = expectedOf.has(index);
    if (!isPaired && (stroke.at < first - gap / 2 || stroke.at > last + gap / 2)) return [];
    const asked = expectedOf.get(index);
    if (asked === undefined) return [stroke];
    const candidates = candidatesOf(expected, asked);
    const { name } = (expected[asked] as ExpectedStroke).chord;
    const { samples, attack } = sound.of(sampleOf(index));
    const said = ear.judge(samples, attack, { candidates, kind: stroke.kind });
    return [{ ...stroke, chord: heardChord(said, name) }];
  });
  return {
    verdict: judgePass(expected, own, { level, offset: null, near: 0 }),
    start: curve.at(0),
    slowness: {
      first: curve.slowness(plan.expected[0]?.at ?? 0),
      last: curve.slowness(plan.expected.at(-1)?.at ?? 0),
    },
    endsIn,
  };
}

/** The bar in which what was heard of a pass ends, where bars behind it were not heard at all; else `null`. */
function endOf(expected: readonly ExpectedStroke[], pairs: readonly Pair[]): number | null {
  const last = expected[(pairs.at(-1) as Pair).expected] as ExpectedStroke;
  const bars = new Set(expected.filter(({ bar }) => bar > last.bar).map(({ bar }) => bar));
  return bars.size >= endBars ? last.bar : null;
}

/** The sound round a stroke of a recording, read as it is asked for. */
class StrokeSound {
  constructor(private readonly wav: Wav) {}

  of(sample: number): { samples: Float32Array; attack: number } {
    const half = Math.round(around * this.wav.head.rate);
    const from = Math.max(0, Math.round(sample) - half);
    return { samples: this.wav.samples(from, 2 * half), attack: Math.round(sample) - from };
  }
}
