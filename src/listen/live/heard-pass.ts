import { candidatesOf } from '../candidates.js';
import type { ChordEar } from '../chord-ear.js';
import type { ExpectedStroke } from '../expected.js';
import { heardChord } from '../heard-chord.js';
import { kindOf, meantFor } from '../kind.js';
import type { Level } from '../limits.js';
import { type Mark, Marks } from '../marks.js';
import { usualInterval } from '../pairing.js';
import { roughOffset } from '../rough-offset.js';
import type { StrokeHeard } from '../stroke-heard.js';
import type { TimedStroke } from '../timed-stroke.js';
import type { PlayedStroke } from './played-strokes.js';

/** What is known about a pass before any of it was heard. */
export interface HeardPassOptions {
  /** Its number. */
  readonly pass: number;
  /** All strokes of such a pass, whether they are played or not: of them come the chords that a stroke may be. */
  readonly whole: readonly ExpectedStroke[];
  /** A felt beat, and a tick, ms. */
  readonly beat: number;
  readonly msPerTick: number;
  /** What judges chords: one for all passes, since what it learns of the instrument, and makes of its notes, costs time. */
  readonly chords: ChordEar;
  readonly level: Level;
  /** Ms that strokes are heard late: as calibrated (`null`: it was not), and as far as is known otherwise. */
  readonly offset: number | null;
  readonly near: number | null;
}

/** This many strokes tell how late they are heard, where that is unknown. */
const enough = 16;

/** A pass that is played, or is over and waits for its last strokes: what it has, and what was heard of it. Times are ms of the shared clock. */
export class HeardPass {
  readonly pass: number;
  readonly beat: number;
  /** When it began, where it is a whole one. */
  began: number | null = null;
  /** When it can be judged; `null` while it is played. */
  due: number | null = null;
  /** How late its strokes are heard, as far as is known. */
  near: number | null;
  private readonly strokes: PlayedStroke[] = [];
  private readonly timed: TimedStroke[] = [];
  /** Strokes that cannot be placed before it is known how late they are heard. */
  private unplaced: StrokeHeard[] = [];
  private marks: Marks | null = null;

  constructor(private readonly options: HeardPassOptions) {
    this.pass = options.pass;
    this.beat = options.beat;
    this.near = options.offset ?? options.near;
  }

  /** The strokes that were played so far, and come soon. */
  get expected(): readonly PlayedStroke[] {
    return this.strokes;
  }

  /** What was heard. */
  get heard(): readonly TimedStroke[] {
    return this.timed;
  }

  /** One more stroke comes, after all that are known. */
  expect(stroke: PlayedStroke): void {
    this.strokes.push(stroke);
  }

  /** The strokes from the first matching one on are not played, or not at that time. */
  forget(isLeft: (stroke: PlayedStroke) => boolean): void {
    const from = this.strokes.findIndex(isLeft);
    if (from >= 0) this.strokes.splice(from);
  }

  /** How far from its nearest stroke a time is, ms; infinite where it has none. */
  distance(at: number): number {
    let least = Number.POSITIVE_INFINITY;
    for (let index = this.strokes.length - 1; index >= 0; index -= 1) {
      const distance = Math.abs((this.strokes[index] as PlayedStroke).at - at);
      if (distance > least) break;
      least = distance;
    }
    return least;
  }

  /** Takes a stroke; returns what it was meant for and its mark, `null` where that cannot be told. */
  push(heard: StrokeHeard): { readonly expected: PlayedStroke; readonly mark: Mark } | null {
    if (this.near !== null) return this.place(heard);
    this.unplaced.push(heard);
    if (this.unplaced.length === enough) this.settle();
    return null;
  }

  /** No more strokes are waited for to tell how late they are heard. */
  settle(): void {
    if (this.near !== null || this.unplaced.length === 0) return;
    this.near = roughOffset(this.strokes, this.unplaced.map(timed));
    for (const stroke of this.unplaced) this.place(stroke);
    this.unplaced = [];
  }

  private place(heard: StrokeHeard): { readonly expected: PlayedStroke; readonly mark: Mark } | null {
    const { options, near } = this;
    // The strokes of a whole pass stand at their ticks.
    const interval = usualInterval(options.whole) * options.msPerTick;
    this.marks ??= new Marks(this.strokes, options.level, options.offset ?? near, interval);
    const index = this.marks.expectedAt(heard.ms);
    const meant = index === null ? undefined : this.strokes[index];
    const stroke = meant ? this.asMeant(heard, meant) : timed(heard);
    this.timed.push(stroke);
    const marked = this.marks.push(stroke);
    const expected = marked && this.strokes[marked.index];
    return expected ? { expected, mark: marked.mark } : null;
  }

  /** A stroke with its kind and chord told by what it was meant for: an upstroke and a chop of few notes are hard to tell apart where nothing is expected. */
  private asMeant(heard: StrokeHeard, meant: PlayedStroke): TimedStroke {
    const { kind, sure } = kindOf(heard.kinds, meantFor(meant.kind));
    const candidates = candidatesOf(this.options.whole, meant.index);
    const said = this.options.chords.judge(heard.clip, heard.attack, { candidates, kind: meant.kind });
    return { ...timed(heard), kind, kindSure: sure, chord: heardChord(said, meant.chord.name) };
  }
}

function timed(heard: StrokeHeard): TimedStroke {
  return {
    at: heard.ms,
    kind: heard.stroke,
    kindSure: heard.sure,
    strength: heard.strength,
    ringMs: heard.ringMs,
    ringsOn: heard.ringsOn,
    chord: null,
  };
}
