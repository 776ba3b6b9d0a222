/** Which sounding courses a stroke takes: the one nearest the bass side, all, or two at one side. */
export type StrokeCourses = 'lowest' | 'all' | 'lower-two' | 'upper-two';

/** How a stroke ends: damped at once, stopped at the next stroke, or left sounding. */
export type StrokeEnding = 'chop' | 'choke' | 'ring';

/** One stroke of the right hand. `at` counts felt beats from the bar's start, 0.5 is the off-beat. */
export interface Stroke {
  readonly at: number;
  readonly direction: 'down' | 'up';
  readonly courses: StrokeCourses;
  readonly ending: StrokeEnding;
  /** MIDI velocity, 1–127. */
  readonly loudness: number;
}

const down = { direction: 'down', courses: 'all' } as const;

/** A low note, choked by the next stroke. */
export function low(at: number): Stroke {
  return { ...down, at, courses: 'lowest', ending: 'choke', loudness: 84 };
}

/** A chop. */
export function chop(at: number): Stroke {
  return { ...down, at, ending: 'chop', loudness: 96 };
}

/** An upstroke on the two courses at the treble side. */
export function up(at: number): Stroke {
  return { at, direction: 'up', courses: 'upper-two', ending: 'choke', loudness: 58 };
}

/** A stroke across all courses that is left sounding. */
export function ringing(at: number): Stroke {
  return { ...down, at, ending: 'ring', loudness: 104 };
}
