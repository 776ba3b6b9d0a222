import { feltBeats, type Meter, meterText, quartersPerBeat } from '../chart/chart.js';

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

/** How a pattern goes on in a meter that it has no strokes of its own for. */
export type PatternRule =
  | 'low-then-chops'
  | 'upstrokes'
  | 'two-felt'
  | 'eighths'
  | 'shuffle'
  | 'chops'
  | 'basic'
  | 'nothing';

/** What the right hand does in a bar, by meter: plain data, so that it can go to another thread. */
export interface Pattern {
  readonly name: string;
  /** What it is, for a list. */
  readonly says: string;
  readonly meters: Readonly<Record<string, readonly Stroke[]>>;
  readonly other: PatternRule;
  /** How a chord is struck that comes where the pattern has no stroke; `null`: not at all. */
  readonly change: StrokeEnding | null;
}

const down = { direction: 'down', courses: 'all' } as const;

function low(at: number): Stroke {
  return { ...down, at, courses: 'lowest', ending: 'choke', loudness: 84 };
}

function chop(at: number): Stroke {
  return { ...down, at, ending: 'chop', loudness: 96 };
}

function up(at: number): Stroke {
  return { at, direction: 'up', courses: 'upper-two', ending: 'choke', loudness: 58 };
}

/** Whole felt beats of a bar. */
function beatsOf(meter: Meter): number[] {
  return Array.from({ length: feltBeats(meter) }, (_, beat) => beat);
}

/** Low note on the first beat, chops on the others. */
function lowThenChops(meter: Meter): readonly Stroke[] {
  return beatsOf(meter).map((beat) => (beat === 0 ? low(0) : chop(beat)));
}

/** An eighth in felt beats. */
function eighthOf(meter: Meter): number {
  return 0.5 / quartersPerBeat(meter);
}

/** Behind each chop an upstroke, an eighth later, where nothing else is struck. */
function withUpstrokes(meter: Meter): readonly Stroke[] {
  const strokes = strokesIn(lowAndChop, meter);
  const isFree = (at: number): boolean => !strokes.some((stroke) => Math.abs(stroke.at - at) < 1e-9);
  return strokes.flatMap((stroke) => {
    const behind = stroke.at + eighthOf(meter);
    const fits = stroke.ending === 'chop' && isFree(behind) && behind < feltBeats(meter) - 1e-9;
    return fits ? [stroke, up(behind)] : [stroke];
  });
}

/** Two felt beats a bar, or twice as many: low notes and chops by turns. */
function twoFelt(meter: Meter): readonly Stroke[] {
  if (quartersPerBeat(meter) === 1.5) return beatsOf(meter).flatMap((at) => [low(at), chop(at + 2 / 3)]);
  if (meter.unit === 2 || feltBeats(meter) % 2 !== 0)
    return beatsOf(meter).flatMap((at) => [low(at), chop(at + 0.5)]);
  return beatsOf(meter).map((at) => (at % 2 === 0 ? low(at) : chop(at)));
}

/** Chops of a bar's basic pattern, the places where the backbeat falls. */
function onlyChops(strokes: readonly Stroke[]): readonly Stroke[] {
  return strokes.filter((stroke) => stroke.ending === 'chop');
}

/** Down and up by turns; where the basic pattern chops it is louder. */
function alternating(meter: Meter, places: readonly number[]): readonly Stroke[] {
  const chops = onlyChops(strokesIn(lowAndChop, meter));
  const isLoud = (at: number): boolean => chops.some((stroke) => Math.abs(stroke.at - at) < 1e-9);
  return places.map((at, index) => {
    const isDown = index % 2 === 0;
    return {
      at,
      direction: isDown ? 'down' : 'up',
      courses: isDown ? 'all' : 'upper-two',
      ending: 'choke',
      loudness: isLoud(at) ? 96 : isDown ? 76 : 60,
    };
  });
}

/** All eighths of a bar, in felt beats. */
function eighthsOf(meter: Meter): number[] {
  const step = eighthOf(meter);
  const each = Math.max(1, Math.round(1 / step));
  return beatsOf(meter).flatMap((beat) =>
    Array.from({ length: each }, (_, index) => beat + index * Math.min(1, step)),
  );
}

/**
 * The basic pattern: the low note on 1 and 3, chops on 2 and 4; in three a low note and two chops; in
 * cut time and 6/8 a low note on each beat and a chop behind it. Common practice.
 */
export const lowAndChop: Pattern = {
  name: 'low-chop',
  says: 'low note and chop',
  meters: {
    '4/4': [low(0), chop(1), low(2), chop(3)],
    '2/4': [low(0), chop(1)],
    '2/2': [low(0), chop(0.5), low(1), chop(1.5)],
    '6/8': [low(0), chop(2 / 3), low(1), chop(5 / 3)],
  },
  other: 'low-then-chops',
  change: 'chop',
};

const lowChopUp: Pattern = {
  name: 'low-chop-up',
  says: 'low note and chop, an upstroke an eighth after each chop',
  meters: {},
  other: 'upstrokes',
  change: 'chop',
};

const waltz: Pattern = {
  name: 'waltz',
  says: 'low note on the first beat, chops on the others',
  meters: { '3/4': [low(0), chop(1), { ...chop(2), loudness: 84 }] },
  other: 'low-then-chops',
  change: 'chop',
};

const cut: Pattern = {
  name: 'cut',
  says: 'two felt beats: a low note on each, a chop behind it',
  meters: {},
  other: 'two-felt',
  change: 'chop',
};

const eighths: Pattern = {
  name: 'eighths',
  says: 'down and up in eighths, the backbeat louder',
  meters: {},
  other: 'eighths',
  change: 'choke',
};

const shuffle: Pattern = {
  name: 'shuffle',
  says: 'down on the beat, up on its last third',
  meters: {},
  other: 'shuffle',
  change: 'choke',
};

const ring: Pattern = {
  name: 'ring',
  says: 'one stroke a change, left to ring',
  meters: {},
  other: 'nothing',
  change: 'ring',
};

const chopOnly: Pattern = {
  name: 'chop',
  says: 'chops only',
  meters: {},
  other: 'chops',
  change: null,
};

/** Nothing at all: the rhythm part rests while its player leads. */
export const rest: Pattern = {
  name: 'rest',
  says: 'nothing: the rhythm part rests',
  meters: {},
  other: 'nothing',
  change: null,
};

/** Every built-in pattern, the basic one first. */
export const patterns: readonly Pattern[] = [
  lowAndChop,
  lowChopUp,
  waltz,
  cut,
  eighths,
  shuffle,
  ring,
  chopOnly,
  rest,
];

/** A pattern's strokes in a meter. */
export function strokesIn(pattern: Pattern, meter: Meter): readonly Stroke[] {
  return pattern.meters[meterText(meter)] ?? byRule(pattern.other, meter);
}

function byRule(rule: PatternRule, meter: Meter): readonly Stroke[] {
  switch (rule) {
    case 'low-then-chops':
      return lowThenChops(meter);
    case 'upstrokes':
      return withUpstrokes(meter);
    case 'two-felt':
      return twoFelt(meter);
    case 'eighths':
      return alternating(meter, eighthsOf(meter));
    case 'shuffle':
      return alternating(
        meter,
        beatsOf(meter).flatMap((beat) => [beat, beat + 2 / 3]),
      );
    case 'chops':
      return onlyChops(strokesIn(lowAndChop, meter));
    case 'basic':
      return strokesIn(lowAndChop, meter);
    case 'nothing':
      return [];
  }
}
