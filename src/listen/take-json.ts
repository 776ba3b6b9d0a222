import type { Take } from './take.js';
import { type VerdictJson, verdictJson } from './verdict-json.js';

/** A judged recording as a JSON document: as of one pass, and where there are several, each of them in `passes`. */
export type TakeJson = Pick<VerdictJson, 'onsets'> & {
  /** Of all passes, in the order of their times; `pass` counts them from 1. */
  readonly strokes: readonly (VerdictJson['strokes'][number] & { readonly pass: number })[];
  /** The first pass. */
  readonly pass: PassJson;
  readonly passes: readonly PassJson[];
};

/** What is heard of a pass, and where it is in the recording. */
export type PassJson = VerdictJson['pass'] & {
  /** Seconds from the start of the recording to the pass's first beat. */
  readonly startsAt: number;
  /** Felt beats a minute at the beginning and at the end of the pass. */
  readonly tempo: { readonly first: number; readonly last: number };
  /** The bar, from 1, in which the recording ends; `null` when it has all of the pass. */
  readonly endsInBar: number | null;
};

/** A judged recording with a pass at least; `bpm`: the chart's tempo. */
export function takeJson({ onsets, passes }: Take, bpm: number): TakeJson {
  const all = passes.map(({ verdict, start, slowness, endsIn }) => {
    const { strokes, pass } = verdictJson(verdict, [], 0);
    const told: PassJson = {
      ...pass,
      startsAt: rounded(start / 1000, 4),
      tempo: { first: rounded(bpm / slowness.first, 2), last: rounded(bpm / slowness.last, 2) },
      endsInBar: endsIn === null ? null : endsIn + 1,
    };
    return { strokes, pass: told };
  });
  const [first] = all;
  if (!first) throw new RangeError('a judged recording has a pass');
  return {
    onsets: onsets.map(({ at, kind, strength }) => ({
      at: rounded(at / 1000, 4),
      kind,
      strength: rounded(strength, 3),
    })),
    strokes: all.flatMap(({ strokes }, index) => strokes.map((stroke) => ({ ...stroke, pass: index + 1 }))),
    pass: first.pass,
    passes: all.map(({ pass }) => pass),
  };
}

function rounded(value: number, places: number): number {
  const scale = 10 ** places;
  return Math.round(value * scale) / scale + 0;
}
