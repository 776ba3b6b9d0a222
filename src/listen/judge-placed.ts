import { candidatesOf } from './candidates.js';
import type { ChordEar } from './chord-ear.js';
import type { ExpectedStroke } from './expected.js';
import { heardChord } from './heard-chord.js';
import { judgePass } from './judge-pass.js';
import { type KindShares, kindOf, meantFor } from './kind.js';
import type { Level } from './limits.js';
import type { Pair } from './pair-search.js';
import { gapOf, type PlacedPass } from './place-pass.js';
import type { PlacedStroke } from './song-search.js';
import type { StrokeSound } from './stroke-sound.js';
import type { TakenPass } from './take.js';
import type { TimedStroke } from './timed-stroke.js';

/** This many bars in a row at the end that were not heard are after the end of the recording. */
const endBars = 2;

/** A stroke of a recording: what was heard of it, and its sample. */
export interface TakenStroke extends PlacedStroke {
  readonly sample: number;
  readonly kinds: KindShares;
}

export interface PlacedJudging {
  readonly ear: ChordEar;
  readonly sound: StrokeSound;
  readonly level: Level;
}

/** Judges a pass whose place was found. `heard` are the strokes that it was found among; `own` are those of them that are of the pass, by their indices, its kinds and chords told by what was meant. */
export function judgePlaced(
  placed: PlacedPass,
  heard: readonly TakenStroke[],
  { ear, sound, level }: PlacedJudging,
): { readonly taken: TakenPass; readonly own: ReadonlyMap<number, TimedStroke> } {
  const { plan, pairs, curve } = placed;
  const endsIn = endOf(plan.expected, pairs);
  const expected = plan.expected
    .filter(({ bar }) => endsIn === null || bar <= endsIn)
    .map((stroke) => ({ ...stroke, at: curve.at(stroke.at) }));
  const expectedOf = new Map(pairs.map((pair) => [pair.heard, pair.expected]));
  const [first, last] = [expected[0]?.at ?? 0, expected.at(-1)?.at ?? 0];
  const gap = gapOf(plan.expected, curve);
  const own = new Map<number, TimedStroke>();
  heard.forEach((stroke, index) => {
    const asked = expectedOf.get(index);
    if (asked !== undefined) {
      const meant = expected[asked] as ExpectedStroke;
      // Its kind is recognised better if it is known what was meant. Its chord is tested as that: an upstroke and a chop of few notes are hard
      // to tell apart, and what else the hand may have struck has the notes of the chord, too.
      const { kind, sure } = kindOf(stroke.kinds, meantFor(meant.kind));
      const { samples, attack } = sound.of(stroke.sample);
      const candidates = candidatesOf(expected, asked);
      const said = ear.judge(samples, attack, { candidates, kind: meant.kind });
      own.set(index, { ...stroke, kind, kindSure: sure, chord: heardChord(said, meant.chord.name) });
      return;
    }
    // What was played before the pass, such as a count-in, and after it does not belong to it.
    if (stroke.at >= first - gap / 2 && stroke.at <= last + gap / 2) own.set(index, stroke);
  });
  const taken = {
    verdict: judgePass(expected, [...own.values()], { level, offset: null, near: 0 }),
    start: curve.at(0),
    slowness: {
      first: curve.slowness(plan.expected[0]?.at ?? 0),
      last: curve.slowness(plan.expected.at(-1)?.at ?? 0),
    },
    endsIn,
  };
  return { taken, own };
}

/** The bar in which what was heard of a pass ends, where bars after it were not heard at all; else `null`. */
function endOf(expected: readonly ExpectedStroke[], pairs: readonly Pair[]): number | null {
  const last = expected[(pairs.at(-1) as Pair).expected] as ExpectedStroke;
  const bars = new Set(expected.filter(({ bar }) => bar > last.bar).map(({ bar }) => bar));
  return bars.size >= endBars ? last.bar : null;
}
