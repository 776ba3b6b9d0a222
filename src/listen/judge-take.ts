import { ChordEar } from './chord-ear.js';
import { ChordGuesser } from './chord-guess.js';
import { judgePlaced, type TakenStroke } from './judge-placed.js';
import type { Pair } from './pair-search.js';
import { fewest, placePass } from './place-pass.js';
import type { SearchRange } from './song-search.js';
import { StrokeSound } from './stroke-sound.js';
import type { HeardStroke } from './strokes.js';
import type { Take, TakenPass, TakeOptions } from './take.js';
import { type TimedStroke, wasChord } from './timed-stroke.js';
import type { Wav } from './wav.js';

/** Tempos that are looked for, as shares of the written one, and from one pass to the next. */
const tempoRange = 0.35;
const nextRange = 0.1;
/** The most passes of one recording: hours of music. */
const mostPasses = 1000;

/** Judges a recording of which the strokes were heard: finds the passes in it and judges each. Each step answers how far it is, 0–1. */
export function* judgeTake(
  wav: Wav,
  strokes: readonly HeardStroke[],
  options: TakeOptions,
): Generator<number, Take> {
  const { plans, level } = options;
  const sound = new StrokeSound(wav);
  const guesser = new ChordGuesser(
    wav.head.rate,
    plans.flatMap(({ expected }) => expected.map(({ chord }) => chord)),
  );
  const heard: TakenStroke[] = [];
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
  const onsets: TimedStroke[] = [...heard];
  let rest = 0;
  let range = firstRange(options);
  while (passes.length < mostPasses && heard.length - rest >= fewest) {
    const left = heard.slice(rest);
    const placed = placePass(plans, left, range, options.slowness);
    if (!placed) break;
    const { plan, pairs, curve } = placed;
    const { taken, own } = judgePlaced(placed, left, { ear, sound, level });
    if (isOther(taken)) break;
    passes.push(taken);
    for (const [index, stroke] of own) onsets[rest + index] = stroke;
    rest += (pairs.at(-1) as Pair).heard + 1;
    const slowness = curve.slowness(plan.length);
    range = {
      slowness:
        options.slowness === null ? [slowness * (1 - nextRange), slowness * (1 + nextRange)] : range.slowness,
      near: curve.at(plan.length + (plan.expected[0]?.at ?? 0)),
    };
    yield 0.7 + (0.3 * rest) / heard.length;
  }
  return { onsets, passes };
}

/** Whether most chords of a pass were others than the chart's: many songs have the same strokes, so it is another song, or another key. */
function isOther({ verdict: { strokes } }: TakenPass): boolean {
  const judged = strokes.flatMap(({ heard, expected }) => {
    const was = heard && wasChord(heard, expected.chord.name);
    return was == null ? [] : [was];
  });
  return 2 * judged.filter((was) => !was).length > judged.length;
}

function firstRange({ slowness }: TakeOptions): SearchRange {
  return {
    slowness: slowness === null ? [1 / (1 + tempoRange), 1 / (1 - tempoRange)] : [slowness, slowness],
    near: null,
  };
}
