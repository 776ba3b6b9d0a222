import { median } from './estimate.js';
import type { ExpectedStroke } from './expected.js';
import { type CleanLimits, cleanLimits, type Level } from './limits.js';
import { usualInterval } from './pairing.js';
import { type TimedStroke, wasChord } from './timed-stroke.js';

/** What is shown of a stroke while playing: where it fell, and whether it was the chord. Nothing is shown for a stroke that was not heard. */
export interface Mark {
  readonly place: 'early' | 'on' | 'late';
  /** Surely another chord. */
  readonly isHollow: boolean;
}

/** This many of the last strokes tell the player's own time. */
const remembered = 12;

/**
 * Marks strokes as they are heard, each as soon as it is reported. A stroke is early or late against the player's own time, as far as that is
 * within the limits of a clean pass: a player who is steadily a little ahead is on.
 */
export class Marks {
  private readonly limits: CleanLimits;
  private readonly errors: number[] = [];
  private readonly marked = new Set<number>();
  private readonly reach: number;

  /**
   * `offset`: ms that strokes are heard late, all alike; `null`: taken from the strokes as they come. `interval`: the usual time from stroke
   * to stroke, ms, where more strokes are still to be added to `expected`.
   */
  constructor(
    private readonly expected: readonly ExpectedStroke[],
    level: Level,
    private readonly offset: number | null,
    interval = usualInterval(expected),
  ) {
    this.limits = cleanLimits(level, interval);
    this.reach = Math.min(0.45 * interval, 200);
  }

  /** The expected stroke that one heard at a time is likely meant for, by its index; `null` where none is near. So its chord can be asked for. */
  expectedAt(at: number): number | null {
    const own = at - this.own();
    const index = this.nearest(own);
    const stroke = this.expected[index];
    return stroke && !this.marked.has(index) && Math.abs(stroke.at - own) <= this.reach ? index : null;
  }

  /** The expected stroke that a heard one was, by its index, and its mark; `null` where there is none for it. */
  push(heard: TimedStroke): { readonly index: number; readonly mark: Mark } | null {
    const own = this.own();
    const index = this.expectedAt(heard.at);
    if (index === null) return null;
    const stroke = this.expected[index] as ExpectedStroke;
    this.marked.add(index);
    const error = heard.at - stroke.at;
    this.errors.push(error);
    if (this.errors.length > remembered) this.errors.shift();
    const { ahead, behind, spread } = this.limits;
    const beat = this.offset ?? own;
    const middle = Math.max(beat - ahead, Math.min(beat + behind, median(this.errors)));
    const off = error - middle;
    const place = off < -2 * spread ? 'early' : off > 2 * spread ? 'late' : 'on';
    return { index, mark: { place, isHollow: wasChord(heard, stroke.chord.name) === false } };
  }

  /** The player's own time: ms that the last strokes came late. */
  private own(): number {
    return this.errors.length > 0 ? median(this.errors) : (this.offset ?? 0);
  }

  private nearest(at: number): number {
    let [from, to] = [0, this.expected.length - 1];
    while (from < to) {
      const middle = (from + to) >> 1;
      if ((this.expected[middle] as ExpectedStroke).at < at) from = middle + 1;
      else to = middle;
    }
    const before = this.expected[from - 1];
    const here = this.expected[from];
    return before && here && Math.abs(before.at - at) < Math.abs(here.at - at) ? from - 1 : from;
  }
}
