import type { StrokeKind } from './kind.js';
import { loudness, type Timbre, unlikeness } from './timbre.js';

/** Something that began to sound: its sample, which names it, when (ms), and how its attack sounds. */
export interface Attack {
  readonly sample: number;
  readonly ms: number;
  readonly timbre: Timbre;
}

/** What came to be known of an attack when the next one came: how long it rang (ms; `null`: that was not heard), and of which kind it was. */
export interface Rung {
  readonly sample: number;
  readonly ringMs: number | null;
  readonly kind: StrokeKind;
  readonly sure: number;
}

/** Even strokes: how far apart (ms), when the last was heard, and when the next would be: by the line through all. */
export interface EvenChops {
  readonly beat: number;
  readonly last: number;
  readonly next: number;
}

/**
 * Every gap is within this share of their mean, or within this many ms: people who tap with a beat are within 2 to 4 % of it (Repp, Sensorimotor
 * synchronization: a review of the tapping literature, 2005), and two strokes err in a gap.
 */
const even = { share: 0.07, ms: 20 };
/** Gaps of other lengths are no beat, ms. */
const [shortest, longest] = [150, 1600];
/** It must be quiet for this many gaps before the first: of a long row of strokes only the first ones count. */
const quietBefore = 1.5;
/** Strokes alike: as loud within this many dB, and sounding alike as `unlikeness` says, dB: chops of a chord 1 to 6, a scale 7 to 13. */
const alike = { loud: 9, timbre: 6.5 };
/** Anything softer by this much is not a stroke but a hand on the strings or a chair, dB. */
const softer = 15;
/** A chop is stopped: it rings no longer than this, ms, nor than this share of the gap. */
const rings = { ms: 180, share: 0.6 };
/** A stroke that is a low note with this much certainty is not a chop. */
const sureLow = 0.8;
/** Attacks that are remembered. */
const remembered = 32;

/**
 * Finds a count: `count` strokes that are even, alike and stopped, with quiet before them. Talk, tuning and noodling are not. The count is known
 * at the attack of its last stroke.
 */
export class FourChops {
  private attacks: Attack[] = [];
  private readonly rung = new Map<number, Rung>();
  /** The last stroke of the count that was reported: it is reported once. */
  private told: Attack | null = null;

  /** `count`: how many strokes. */
  constructor(readonly count: number) {}

  /** Something began to sound; returns the count when this was its last stroke. */
  attack(attack: Attack): EvenChops | null {
    this.attacks.push(attack);
    const gone = this.attacks.length > remembered ? this.attacks.shift() : undefined;
    if (gone) this.rung.delete(gone.sample);
    return this.found();
  }

  /** How long an attack rang came to be known; returns the count when only that was lacking. */
  rang(rung: Rung): EvenChops | null {
    if (!this.attacks.some(({ sample }) => sample === rung.sample)) return null;
    this.rung.set(rung.sample, rung);
    return this.found();
  }

  /** Forgets what was heard so far. */
  clear(): void {
    this.attacks = [];
    this.rung.clear();
  }

  private found(): EvenChops | null {
    const last = this.attacks.at(-1);
    if (!last || last === this.told) return null;
    const least = loudness(last.timbre) - softer;
    const strokes = this.attacks.filter(({ timbre }) => loudness(timbre) >= least);
    const count = strokes.slice(-this.count);
    if (count.length < this.count || !areAlike(count)) return null;
    const line = lineThrough(count.map(({ ms }) => ms));
    if (!line) return null;
    const before = strokes.at(-this.count - 1);
    const [first] = count as [Attack];
    if (before && first.ms - before.ms < quietBefore * line.beat) return null;
    if (!count.slice(0, -1).every((stroke) => this.isStopped(stroke, line.beat))) return null;
    this.told = last;
    return line;
  }

  /** Whether a stroke was stopped, as chops are: it rang short, or something much softer could be heard soon after it. */
  private isStopped({ sample, ms }: Attack, beat: number): boolean {
    const rung = this.rung.get(sample);
    if (!rung || (rung.kind === 'low' && rung.sure >= sureLow)) return false;
    const most = Math.min(rings.ms, rings.share * beat);
    if (rung.ringMs !== null) return rung.ringMs <= most;
    const next = this.attacks[this.attacks.findIndex((one) => one.sample === sample) + 1];
    return next !== undefined && next.ms - ms <= most;
  }
}

function areAlike(strokes: readonly Attack[]): boolean {
  const loud = strokes.map(({ timbre }) => loudness(timbre));
  if (Math.max(...loud) - Math.min(...loud) > alike.loud) return false;
  return strokes.every((one, index) =>
    strokes.slice(index + 1).every((other) => unlikeness(one.timbre, other.timbre) <= alike.timbre),
  );
}

/** The line through times that are even (least squares); `null` where they are not. */
function lineThrough(times: readonly number[]): EvenChops | null {
  const count = times.length;
  const [first, last] = [times[0] as number, times.at(-1) as number];
  const mean = (last - first) / (count - 1);
  if (mean < shortest || mean > longest) return null;
  const most = Math.max(even.ms, even.share * mean);
  const isEven = times.every(
    (time, index) => index === 0 || Math.abs(time - (times[index - 1] as number) - mean) <= most,
  );
  if (!isEven) return null;
  const middle = (count - 1) / 2;
  const centre = times.reduce((sum, time) => sum + time, 0) / count;
  const products = times.reduce((sum, time, index) => sum + (index - middle) * (time - centre), 0);
  const squares = times.reduce((sum, _, index) => sum + (index - middle) ** 2, 0);
  const beat = products / squares;
  return { beat, last, next: centre + (count - middle) * beat };
}
