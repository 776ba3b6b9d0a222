import { feltBeats, type Meter, meterText } from '../chart/chart.js';

/** Which sounding courses a stroke takes: the one nearest the bass side, all, or the upper two. */
export type StrokeCourses = 'lowest' | 'all' | 'upper-two';

/** One stroke of the right hand. `at` counts felt beats from the bar's start, 0.5 is the off-beat. */
export interface Stroke {
  readonly at: number;
  readonly direction: 'down' | 'up';
  readonly courses: StrokeCourses;
  /** How it ends: damped at once, stopped at the next stroke, or left sounding. */
  readonly ending: 'chop' | 'choke' | 'ring';
  /** MIDI velocity, 1–127. */
  readonly loudness: number;
}

/** What the right hand does in a bar, by meter; `other` serves every meter not named. */
export interface Pattern {
  readonly name: string;
  readonly meters: Readonly<Record<string, readonly Stroke[]>>;
  readonly other: (meter: Meter) => readonly Stroke[];
}

function low(at: number): Stroke {
  return { at, direction: 'down', courses: 'lowest', ending: 'choke', loudness: 84 };
}

function chop(at: number): Stroke {
  return { at, direction: 'down', courses: 'all', ending: 'chop', loudness: 96 };
}

/** Low note on the first beat, chops on the others. */
function lowThenChops(meter: Meter): readonly Stroke[] {
  return Array.from({ length: feltBeats(meter) }, (_, beat) => (beat === 0 ? low(0) : chop(beat)));
}

/**
 * The basic pattern: the low note on 1 and 3, chops on 2 and 4; in three a low note and two chops; in
 * cut time and 6/8 a low note on each beat and a chop behind it. Common practice.
 */
export const lowAndChop: Pattern = {
  name: 'low-chop',
  meters: {
    '4/4': [low(0), chop(1), low(2), chop(3)],
    '2/4': [low(0), chop(1)],
    '2/2': [low(0), chop(0.5), low(1), chop(1.5)],
    '6/8': [low(0), chop(2 / 3), low(1), chop(5 / 3)],
  },
  other: lowThenChops,
};

/** Every built-in pattern. */
export const patterns: readonly Pattern[] = [lowAndChop];

/** A pattern's strokes in a meter. */
export function strokesIn(pattern: Pattern, meter: Meter): readonly Stroke[] {
  return pattern.meters[meterText(meter)] ?? pattern.other(meter);
}
