import { type Meter, type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import type { Chord } from '../theory/chord.js';
import { quality } from '../theory/quality.js';
import { chop, ringing, type Stroke } from './stroke.js';

/**
 * How a song ends (common practice): one last stroke with the band on the first beat; a short run of the bass with a last
 * stroke where it arrives; or, after the call that everybody knows, a rest on the first beat and two strokes that
 * answer it on the second and third.
 */
export type Ending = 'stroke' | 'run' | 'two';

/** What an ending is played in: how long its bar is, and how many chords share it. */
export type EndingBar = Pick<PlayedBar, 'meter' | 'beats'> & { readonly chords: number };

/** A note of a run: felt beats from the bar's start, and half steps from the chord's root. */
export interface RunNote {
  readonly at: number;
  readonly step: number;
}

/** The strokes of an ending in its bar. Where the bar is too short for it, or shared by chords, each chord is struck once. */
export function endingStrokes(ending: Ending, bar: EndingBar): readonly Stroke[] {
  if (ending === 'two') return answerPlaces(bar).map(chop);
  const arrival = ending === 'run' ? endingRun(bar, false).at(-1) : undefined;
  return arrival ? [chop(0), ringing(arrival.at)] : [ringing(0)];
}

/** Where the two strokes of the answer fall: on the second and third beat, or as near as the bar lets them. */
export function answerPlaces({ meter, beats }: Pick<EndingBar, 'meter' | 'beats'>): readonly number[] {
  const perBeat = quartersPerBeat(meter);
  if (perBeat === 1.5) return beats > 1 ? [2 / 3, 1] : [1 / 3, 2 / 3];
  const quarters = beats * perBeat;
  const places = quarters > 2 ? [1, 2] : [quarters / 2, (3 * quarters) / 4];
  return places.map((quarter) => quarter / perBeat);
}

/**
 * The run of an ending: from the root up to its octave in eighths where the bar has four quarters; root, fifth, sixth and
 * octave where it has three, or two felt beats of a dotted quarter; from the fifth up to the root where it has two. None where it has less or several chords.
 */
export function endingRun({ meter, beats, chords }: EndingBar, minor: boolean): readonly RunNote[] {
  const perBeat = quartersPerBeat(meter);
  const quarters = beats * perBeat;
  const high = minor ? 10 : 9;
  if (chords > 1) return [];
  if (perBeat === 1.5) return beats < 2 ? [] : notes([0, 1 / 3, 2 / 3, 1], [0, 7, high, 12]);
  const inFelt = (places: readonly number[]): readonly number[] => places.map((one) => one / perBeat);
  if (quarters >= 4)
    return notes(
      inFelt([0, 0.5, 1, 1.5, 2, 2.5, 3]),
      minor ? [0, 2, 3, 5, 7, 10, 12] : [0, 2, 3, 4, 7, 9, 12],
    );
  if (quarters >= 3) return notes(inFelt([0, 1, 1.5, 2]), [0, 7, high, 12]);
  return quarters >= 2 ? notes(inFelt([0, 0.5, 1]), [-5, high - 12, 0]) : [];
}

function notes(places: readonly number[], steps: readonly number[]): readonly RunNote[] {
  return places.map((at, index) => ({ at, step: steps[index] as number }));
}

/** Whether a chord has a minor third, so that a run on it does too. */
export function isMinor(chord: Chord): boolean {
  return quality(chord.quality).steps.includes(3);
}

/** A whole bar of a meter with one chord: what an ending is shown in. */
export function wholeBar(meter: Meter, beats: number): EndingBar {
  return { meter, beats, chords: 1 };
}
