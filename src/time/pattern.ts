import { feltBeats, type Meter, meterText, quartersPerBeat } from '../chart/chart.js';
import { type Ending, endingStrokes, wholeBar } from './ending.js';
import { chop, low, type Stroke, type StrokeEnding, up } from './stroke.js';

export type { Stroke, StrokeCourses, StrokeEnding } from './stroke.js';

/** How a pattern goes on in a meter that it has no strokes of its own for. */
export type PatternRule =
  | 'low-then-chops'
  | 'upstrokes'
  | 'two-felt'
  | 'eighths'
  | 'shuffle'
  | 'chops'
  | 'basic'
  | 'ending'
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
  /** How many felt beats the meters have that it is made for; all are when absent. */
  readonly felt?: 2 | 3;
  /** It is played in the last bar alone; up to there what would be played without it. */
  readonly ends?: Ending;
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

/** After each chop an upstroke, an eighth later (in 2/4 a sixteenth), where nothing else is struck. */
function withUpstrokes(meter: Meter): readonly Stroke[] {
  const strokes = strokesIn(lowAndChop, meter);
  const isFree = (at: number): boolean => !strokes.some((stroke) => Math.abs(stroke.at - at) < 1e-9);
  return strokes.flatMap((stroke) => {
    const behind = stroke.at + eighthOf(meter) / (meterText(meter) === '2/4' ? 2 : 1);
    const fits = stroke.ending === 'chop' && isFree(behind) && behind < feltBeats(meter) - 1e-9;
    return fits ? [stroke, up(behind)] : [stroke];
  });
}

/** Low notes on the felt beats, a chop after each; where four are felt, low notes and chops by turns. */
function twoFelt(meter: Meter): readonly Stroke[] {
  if (quartersPerBeat(meter) === 1.5) return beatsOf(meter).flatMap((at) => [low(at), chop(at + 2 / 3)]);
  if (meter.unit === 2 || feltBeats(meter) === 2 || feltBeats(meter) % 2 !== 0)
    return beatsOf(meter).flatMap((at) => [low(at), chop(at + 0.5)]);
  return beatsOf(meter).map((at) => (at % 2 === 0 ? low(at) : chop(at)));
}

/** Chops of a bar's basic pattern, the places where the backbeat falls. */
function onlyChops(strokes: readonly Stroke[]): readonly Stroke[] {
  return strokes.filter((stroke) => stroke.ending === 'chop');
}

/** Down and up by turns; the backbeat is louder: where the basic pattern chops, in 2/4 the second beat. */
function alternating(meter: Meter, places: readonly number[]): readonly Stroke[] {
  const chops = onlyChops(strokesIn(lowAndChop, meter)).map(({ at }) => at);
  const loud = meterText(meter) === '2/4' ? [1] : chops;
  const isLoud = (at: number): boolean => loud.some((one) => Math.abs(one - at) < 1e-9);
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
 * 2/4, cut time and 6/8 a low note on each beat and a chop after it. Common practice.
 */
export const lowAndChop: Pattern = {
  name: 'low-chop',
  says: 'low note and chop',
  meters: {
    '4/4': [low(0), chop(1), low(2), chop(3)],
    '2/4': [low(0), chop(0.5), low(1), chop(1.5)],
    '2/2': [low(0), chop(0.5), low(1), chop(1.5)],
    '6/8': [low(0), chop(2 / 3), low(1), chop(5 / 3)],
    '12/8': [low(0), chop(1), low(2), chop(3)],
  },
  other: 'low-then-chops',
  change: 'chop',
};

const lowChopUp: Pattern = {
  name: 'low-chop-up',
  says: 'low note and chop, an upstroke after each chop',
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
  felt: 3,
};

const cut: Pattern = {
  name: 'cut',
  says: 'two felt beats: a low note on each, a chop after it',
  meters: {},
  other: 'two-felt',
  change: 'chop',
  felt: 2,
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

const lastStroke: Pattern = {
  name: 'last-stroke',
  says: 'last bar: one stroke with the band, left to ring',
  meters: {},
  other: 'ending',
  change: 'ring',
  ends: 'stroke',
};

const lastRun: Pattern = {
  name: 'last-run',
  says: 'last bar: a chop, a run of the bass, a stroke',
  meters: {},
  other: 'ending',
  change: 'ring',
  ends: 'run',
};

const lastTwo: Pattern = {
  name: 'last-two',
  says: 'last bar: a rest, then two strokes on 2 and 3',
  meters: {},
  other: 'ending',
  change: null,
  ends: 'two',
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
  lastStroke,
  lastRun,
  lastTwo,
];

/** A pattern's strokes in a meter. */
export function strokesIn(pattern: Pattern, meter: Meter): readonly Stroke[] {
  if (pattern.ends) return endingStrokes(pattern.ends, wholeBar(meter, feltBeats(meter)));
  return pattern.meters[meterText(meter)] ?? byRule(pattern.other, meter);
}

/** Whether a pattern is made for a meter: a waltz where three beats are felt, cut time where two are. */
export function isMadeFor({ felt }: Pick<Pattern, 'felt'>, meter: Meter): boolean {
  return felt === undefined || feltBeats(meter) === felt;
}

/** The built-in patterns that a meter has: those that strike there, are made for it, and of those that strike alike the first. */
export function patternsIn(meter: Meter): readonly Pattern[] {
  const seen = new Set<string>();
  return patterns.filter((pattern) => {
    const strokes = strokesIn(pattern, meter);
    const alike = JSON.stringify(strokes.map((stroke) => ({ ...stroke, at: stroke.at.toFixed(6) })));
    if (pattern.ends || strokes.length === 0 || !isMadeFor(pattern, meter) || seen.has(alike)) return false;
    seen.add(alike);
    return true;
  });
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
    case 'ending':
    case 'nothing':
      return [];
  }
}
