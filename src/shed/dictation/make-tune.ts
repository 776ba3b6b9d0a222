import {
  partsPerQuarter,
  type SectionTune,
  type TuneBar,
  type TuneNote,
  type TunePitch,
} from '../../chart/tune/tune.js';
import { pitchHeight, tonicNumber } from '../../chart/tune/tune-pitch.js';
import type { Key } from '../../theory/key.js';
import { bestLine } from './best-line.js';
import type { PhraseBars } from './phrase.js';
import { type ChordScale, chordScale, leading, tonesWithin } from './tones.js';
import { beatsPerBar, type OutlineNote, tuneOutline } from './tune-rhythm.js';

/** What a tune lies between, MIDI: B3 to D5, a tenth that most people can sing, here or an octave lower. */
export const tuneRange = { low: 59, high: 74 } as const;
/** How often a third is filled by the note between, and a repeated note by its neighbour. */
const fills = { third: 0.75, same: 0.4 } as const;

/**
 * A tune over a phrase, by rule and at random: on the beats notes of the chord that sounds, in eighths between them the notes that lead from
 * one to the next by step, a breath at the end of each four bars. `section`: the name of the section with these bars.
 */
export function makeTune(bars: PhraseBars, key: Key, section: string, random: () => number): SectionTune {
  const outline = tuneOutline(bars, random);
  const scales = outline.map(({ number }) => chordScale(number, key.mode));
  const tonic = tonicNumber(key, key);
  const [low, high] = [tuneRange.low - tonic, tuneRange.high - tonic];
  const line = bestLine(
    outline.map((note, at) => ({
      note,
      tones: tonesWithin(scales[at] as ChordScale, low, high),
      root: (scales[at] as ChordScale).tones[0] as number,
    })),
    { low, high },
    random,
  );
  const struck = outline.map((note, at) =>
    notesOf(
      note,
      line[at] as TunePitch,
      note.breath ? null : (line[at + 1] ?? null),
      scales[at] as ChordScale,
      {
        low,
        high,
        random,
      },
    ),
  );
  return {
    section,
    pickup: [],
    remarks: [],
    bars: bars.map(
      (_, bar): TuneBar => ({
        notes: rested(outline.flatMap((note, at) => (note.bar === bar ? (struck[at] as TuneNote[]) : []))),
      }),
    ),
  };
}

interface Room {
  readonly low: number;
  readonly high: number;
  readonly random: () => number;
}

/** A note, its last eighth given to one that leads on by step, if there is one and chance decides so. */
function notesOf(
  { beats }: OutlineNote,
  pitch: TunePitch,
  next: TunePitch | null,
  scale: ChordScale,
  { low, high, random }: Room,
): TuneNote[] {
  const whole = { pitch, parts: beats * partsPerQuarter, tie: false };
  const [lot, side] = [random(), random() < 0.5 ? 1 : -1] as const;
  if (!next) return [whole];
  const isSame = pitchHeight(pitch) === pitchHeight(next);
  const between = lot < (isSame ? fills.same : fills.third) ? leading(scale, pitch, next, side) : null;
  if (!between || pitchHeight(between) < low || pitchHeight(between) > high) return [whole];
  const half = partsPerQuarter / 2;
  return [
    { ...whole, parts: whole.parts - half },
    { pitch: between, parts: half, tie: false },
  ];
}

/** The notes of a bar with a rest to its end, where they do not fill it. */
function rested(notes: readonly TuneNote[]): readonly TuneNote[] {
  const left = beatsPerBar * partsPerQuarter - notes.reduce((sum, { parts }) => sum + parts, 0);
  return left > 0 ? [...notes, { pitch: null, parts: left, tie: false }] : notes;
}
