import type { Performance } from '../../playback/performance.js';
import { beatMs } from '../../playback/setup.js';
import { candidatesOf } from '../candidates.js';
import { ChordEar } from '../chord-ear.js';
import type { StrokeKind } from '../expected.js';
import { cleanLimits, type Level } from '../limits.js';
import type { StrokeHeard } from '../stroke-heard.js';
import { passStrokes } from './played-strokes.js';

/** A stroke that was heard while one bar repeats: its kind, and whether it was the bar's first chord. */
export interface HeldStroke {
  readonly kind: 'held-stroke';
  /** From 0. */
  readonly bar: number;
  readonly stroke: StrokeKind;
  /** Whether it was the chord; `null` when unsure. */
  readonly isChord: boolean | null;
  /** Whether it stopped as a chop does; `null` when that was not heard. */
  readonly isStopped: boolean | null;
}

/** The bar that repeats, and since when, ms. */
interface Held {
  readonly performance: Performance;
  readonly bar: number;
  readonly since: number;
}

/** Hears what is played while a single bar repeats: each stroke is compared with the bar's chord, wherever in the bar it falls. */
export class HeldChord {
  private held: Held | null = null;
  private readonly chords: ChordEar;

  /** `rate`: samples a second of the strokes' clips. */
  constructor(
    rate: number,
    private readonly level: Level,
  ) {
    this.chords = new ChordEar(rate);
  }

  /** Time has come to `at`, ms, or what is played has changed; `null`: nothing is. */
  look(performance: Performance | null, at: number): void {
    const bar = performance && roundBar(performance);
    if (performance === null || bar === null) this.held = null;
    else this.held = { performance, bar, since: this.held?.bar === bar ? this.held.since : at };
  }

  /** A stroke was heard that sounded up to `late` ms before. What may have sounded before the bar came is passed over. */
  stroke({ ms, clip, attack, stroke, ringMs, ringsOn }: StrokeHeard, late: number): HeldStroke[] {
    const { held } = this;
    if (!held || ms - late < held.since) return [];
    const { performance, bar } = held;
    const whole = passStrokes(performance, performance.cursor.pass);
    const index = whole.findIndex((one) => one.bar === bar);
    if (index < 0) return [];
    const { expected } = this.chords.judge(clip, attack, {
      candidates: candidatesOf(whole, index),
      kind: stroke,
    });
    // Low note and chop come half a beat apart.
    const { ring } = cleanLimits(this.level, beatMs(performance.setup) / 2);
    const isStopped = ringsOn !== null ? false : ringMs === null ? null : ringMs <= ring;
    return [{ kind: 'held-stroke', bar, stroke, isChord: expected, isStopped }];
  }
}

/** The single bar that repeats and is being played; `null` if there is none. */
function roundBar({ setup: { range }, cursor }: Performance): number | null {
  if (!range || range.to - range.from !== 1 || cursor.counting || cursor.beat === null) return null;
  // While the next chord is on its way, the one before still repeats.
  return cursor.bar;
}
