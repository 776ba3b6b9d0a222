import { Partial } from './partial.js';
import { roughCents } from './rough-pitch.js';
import { singleTone, twoTones } from './tone-fit.js';

/** How a course is tuned. */
export interface CourseTuning {
  /** How sharp it is, cents; of a pair, the middle of its strings. */
  readonly cents: number;
  /** How far apart the strings of a pair are, cents: 0 when they cannot be told apart, and for a single string. */
  readonly apartCents: number;
}

/** The course that rings. */
export interface RingingCourse {
  /** The sample of its attack, and the sample up to which it rings. */
  readonly attack: number;
  readonly end: number;
  /** Samples a second. */
  readonly rate: number;
  /** What it should sound, Hz. */
  readonly hertz: number;
  /** How many strings it has. */
  readonly strings: number;
}

/** The pick's noise and the first, widest swing are left out, seconds: a string struck hard is sharp at first. */
const behindAttack = 0.08;
/** A course must ring for this long, and at most this much of it is used, seconds. */
const shortest = 0.5;
const longest = 1.6;
/** The number of partials that are used, and their highest frequency, Hz (above it they fade too soon). */
const partials = 6;
const highest = 3200;
/** A partial counts when it has this much of the loudest one's energy. */
const leastEnergy = 1e-4;
/** A pair is heard as two tones when these leave so much less of each partial than one does, in nepers: ours, eight times what noise alone makes of it. */
const evidence = 0.1;

/**
 * How a course that was struck alone and rings is tuned; `null` when it rings too short, or nothing near its pitch is heard.
 * Its partials are stretched as a stiff string's are, and each is one tone that fades, or two, a pair's strings; what leaves
 * least of all partials together holds.
 */
export function courseTuning(samples: Float32Array, course: RingingCourse): CourseTuning | null {
  const { attack, rate, hertz, strings } = course;
  const start = attack + Math.round(behindAttack * rate);
  const end = Math.min(samples.length, course.end, start + Math.round(longest * rate));
  if (end - start < shortest * rate) return null;
  const span = { start, end, rate };
  const rough = roughCents(samples, span, { hertz, partials, highest });
  if (rough === null) return null;
  const near = hertz * 2 ** (rough / 1200);
  const all = Array.from({ length: partials }, (_, index) => index + 1)
    .filter((number) => number === 1 || number * near < Math.min(highest, 0.45 * rate))
    .map((number) => ({ number, partial: new Partial(samples, span, number * near) }));
  const loudest = Math.max(...all.map(({ partial }) => partial.energy));
  const heard = all.filter(({ partial }) => partial.energy > leastEnergy * loudest);
  const single = singleTone(heard, near);
  const pair = strings > 1 ? twoTones(heard, single, near) : single;
  const isPair = pair.apart > 0 && single.left - pair.left > evidence * heard.length;
  const best = isPair ? pair : single;
  return { cents: rough + best.cents, apartCents: isPair ? best.apart : 0 };
}
