import { quartersPerBeat } from '../../chart/chart.js';
import type { Performance } from '../../playback/performance.js';
import type { Session } from '../../playback/session.js';
import { beatMs } from '../../playback/setup.js';
import { type Span, tickAt } from '../../time/segment.js';
import { ticksPerQuarter } from '../../time/units.js';
import { candidatesOf } from '../candidates.js';
import { ChordEar } from '../chord-ear.js';
import { judgePass } from '../judge-pass.js';
import type { Level } from '../limits.js';
import type { Mark } from '../marks.js';
import type { StrokeHeard } from '../stroke-heard.js';
import type { Verdict } from '../verdict.js';
import { Company, PlayedBars, Rests } from './ear-watches.js';
import { HeardPass } from './heard-pass.js';
import { HeldChord, type HeldStroke } from './held-chord.js';
import { type NamedChord, NamedChords } from './named-chord.js';
import { isDoubled } from './own-part.js';
import { passStrokes, playedStrokes } from './played-strokes.js';

/** How the microphone in use is set: what is known of it, and how strictly it is judged. */
export interface PassEarOptions {
  readonly level: Level;
  /** Ms that strokes are heard late, all alike, from calibration with a loudspeaker; `null` when unknown. */
  readonly offset: number | null;
  /** About how late they are heard, where `offset` is unknown. */
  readonly near?: number | null;
  /** What the program plays is heard by the player alone, not by the microphone. */
  readonly headphones?: boolean;
}

/** What was heard, to be shown or kept. Times are ms of the shared clock. */
export type PassTold =
  /** A stroke of the pass that is played; bar from 0, felt beats into it. */
  | {
      readonly kind: 'mark';
      readonly pass: number;
      readonly bar: number;
      readonly beat: number;
      readonly mark: Mark;
    }
  /** Whether so many strokes are heard beside the music that somebody else must play: then none can be told to be the player's. */
  | { readonly kind: 'company'; readonly on: boolean }
  /** A pass, or as much of it as was played. `began`: when, where it was a whole one; else `null`. `bpm`: felt beats a minute. */
  | {
      readonly kind: 'pass-heard';
      readonly began: number | null;
      readonly verdict: Verdict;
      readonly bpm: number;
    }
  | HeldStroke
  | NamedChord;

/** Strokes are expected this long before they are due, since hands may be ahead of the beat, ms. */
const aheadMs = 700;
/** A stroke is reported at most this long after it sounded; a pass is judged when its last one must have been, ms. */
const toldMs = 750;
/** If the offset is unknown, strokes may be this late, ms. */
const unknownLate = 350;
/** A pass of fewer strokes than this is not judged. */
export const fewest = 8;
/** Strokes due within this time before listening begins are still expected, ms: they cannot have been reported yet. */
const justNow = 60;

/** The share of a pass's strokes that may fall into times in which something was wrong with what is heard. */
const mostTroubled = 0.1;

/**
 * Hears what is played of a session: knows which strokes come and when, takes the strokes that the ear tells, marks each, and judges each
 * pass when it is over, or what was played of it when the music stops. Knows no clock and no process.
 */
export class PassEar {
  private passes: HeardPass[] = [];
  /** Up to this transport tick all strokes are known for good; `null` while nothing is played. */
  private reached: number | null = null;
  /** Since when it listens to what is played without a break, ms. */
  private since = 0;
  /** How late strokes are heard, as far as the passes have told it. */
  private near: number | null;
  private company = new Company();
  private readonly rests = new Rests();
  private readonly troubles = new Rests();
  private readonly bars = new PlayedBars();
  private readonly held: HeldChord;
  private readonly named: NamedChords;
  private readonly chords: ChordEar;
  /** The arrangement that is ready to be listened to. */
  private prepared: Performance['arrangement'] = null;

  /** `rate`: samples a second of the strokes' clips. */
  constructor(
    rate: number,
    private readonly options: PassEarOptions,
  ) {
    this.near = options.near ?? null;
    this.held = new HeldChord(rate, options.level);
    this.named = new NamedChords(rate);
    this.chords = new ChordEar(rate);
  }

  /** When it wants to be looked at next, ms; `null`: when something happens. */
  get dueAt(): number | null {
    const due = this.passes.flatMap((one) => one.due ?? []);
    return due.length > 0 ? Math.min(...due) : null;
  }

  /** Time has gone on, or the session has changed: what came to be known by that. To be called at each beat at least. */
  look({ link, performance }: Session, at: number): PassTold[] {
    const isPlayed =
      link.state === 'running' &&
      performance?.conductor != null &&
      !performance.tuning &&
      !isDoubled({ link, performance }, this.options.headphones ?? false);
    // Nobody knows what is played while a chord is held until it is let go, or while the band waits.
    this.named.look(isPlayed ? performance : null);
    // When chords are named, no pass is judged: nobody plays along.
    if (performance?.setup.answers) {
      this.stop(at, false);
      return this.judged(at);
    }
    this.rests.look(isPlayed && (performance.vamp !== null || performance.cursor.waits !== undefined), at);
    if (isPlayed && performance && link.spans.length > 0) this.follow(performance, link.spans, at);
    else {
      this.stop(at, link.state === 'stopped');
      if (performance) this.prepare(performance);
    }
    this.held.look(isPlayed ? performance : null, at);
    return this.judged(at);
  }

  /** A stroke was heard. */
  stroke(heard: StrokeHeard): PassTold[] {
    if (this.named.listens) {
      const late = this.offset ?? 0;
      return this.troubles.has(heard.ms) ? [] : this.named.stroke(heard, late);
    }
    const held = this.held.stroke(heard, this.offset ?? unknownLate);
    const pass = this.passFor(heard.ms);
    if (!pass || this.rests.has(heard.ms)) return held;
    const isPlaced = pass.near !== null;
    const told = pass.push(heard);
    this.near = pass.near ?? this.near;
    const company: PassTold[] = isPlaced ? this.company.take(told !== null) : [];
    if (!told || pass.due !== null) return [...company, ...held];
    const { bar, beat } = told.expected;
    return [...company, { kind: 'mark', pass: pass.pass, bar, beat, mark: told.mark }, ...held];
  }

  /** Something is wrong with what is heard from now on, or no longer: what falls into such a time is not judged. */
  trouble(isWrong: boolean, at: number): void {
    this.troubles.look(isWrong, at);
    if (isWrong) this.company = new Company();
  }

  /** How many bars with strokes have begun since then, ms; eight at most. */
  barsSince(ms: number): number {
    return this.bars.since(ms);
  }

  /** Work that takes time only once is done before the music runs: the strokes of a long song, the notes of its chords. */
  private prepare(performance: Performance): void {
    const { arrangement, cursor } = performance;
    if (!arrangement || arrangement === this.prepared) return;
    this.prepared = arrangement;
    const strokes = passStrokes(performance, cursor.pass);
    if (strokes.length === 0) return;
    this.chords.prepare(candidatesOf(strokes, 0));
  }

  private follow(performance: Performance, spans: readonly Span[], at: number): void {
    const now = Math.max(0, tickAt(spans, at));
    if (this.reached === null) this.since = at - justNow;
    // What was played before listening began is not judged.
    const from = this.reached ?? Math.max(0, tickAt(spans, this.since));
    for (const pass of this.passes) if (pass.due === null) pass.forget(({ placed }) => placed >= from);
    for (const stroke of playedStrokes(performance, spans, from, tickAt(spans, at + aheadMs)))
      if (stroke.placed >= from) {
        this.open(performance, stroke.pass).expect(stroke);
        if (stroke.placed < now) this.bars.take(stroke);
      }
    this.reached = now;
    const { cursor, passBegan } = performance;
    // What began before it was listened to was not heard as a whole.
    const whole = passBegan !== null && passBegan >= this.since ? passBegan : null;
    for (const pass of this.passes) {
      if (pass.due !== null) continue;
      if (pass.pass === cursor.pass && !cursor.counting) pass.began = whole ?? pass.began;
      if (pass.pass < cursor.pass) this.close(pass, at);
    }
  }

  /** The music has stopped: what was still to come is not played. */
  private stop(at: number, isEnd: boolean): void {
    this.reached = null;
    for (const pass of this.passes) {
      if (pass.due !== null) continue;
      pass.forget((one) => one.at > at);
      // What was paused is not a whole pass.
      if (!isEnd) pass.began = null;
      this.close(pass, at);
    }
  }

  private close(pass: HeardPass, at: number): void {
    pass.due = at + toldMs + Math.max(0, this.offset ?? unknownLate);
  }

  private open(performance: Performance, number: number): HeardPass {
    const open = this.passes.find(({ pass, due }) => pass === number && due === null);
    if (open) return open;
    const { setup } = performance;
    const { level } = this.options;
    const made = new HeardPass({
      pass: number,
      whole: passStrokes(performance, number),
      beat: beatMs(setup),
      msPerTick: beatMs(setup) / (quartersPerBeat(setup.chart.meter) * ticksPerQuarter),
      chords: this.chords,
      level,
      offset: this.options.offset,
      near: this.offset,
    });
    this.passes.push(made);
    return made;
  }

  /** How late strokes are heard, as far as is known. */
  get offset(): number | null {
    return this.options.offset ?? this.near;
  }

  /** The pass that a stroke heard at a time belongs to: the one with the nearest stroke. */
  private passFor(ms: number): HeardPass | null {
    const at = ms - (this.offset ?? 0);
    let [best, least]: [HeardPass | null, number] = [null, aheadMs];
    for (const pass of this.passes) {
      const distance = pass.distance(at);
      if (distance < least) [best, least] = [pass, distance];
    }
    return best;
  }

  private judged(at: number): PassTold[] {
    const over = this.passes.filter(({ due }) => due !== null && at >= due);
    if (over.length === 0) return [];
    this.passes = this.passes.filter((pass) => !over.includes(pass));
    return over.flatMap((pass): PassTold[] => {
      if (pass.expected.length < fewest) return [];
      pass.settle();
      this.near = pass.near ?? this.near;
      return [
        { kind: 'pass-heard', began: pass.began, verdict: this.verdict(pass), bpm: 60_000 / pass.beat },
      ];
    });
  }

  /** What was heard while something was wrong is left out; where that is more than a little, the pass was not heard. */
  private verdict(pass: HeardPass): Verdict {
    const { offset, level } = this.options;
    const late = this.offset ?? 0;
    const good = pass.expected.filter((one) => !this.troubles.has(one.at + late));
    const isHeard = pass.expected.length - good.length <= mostTroubled * pass.expected.length;
    const heard = pass.heard.filter((one) => !this.troubles.has(one.at));
    const verdict = judgePass(isHeard ? good : pass.expected, heard, {
      level,
      offset,
      ...(offset === null && this.near !== null ? { near: this.near } : {}),
    });
    return isHeard ? verdict : { ...verdict, result: 'not heard', faults: ['disturbed'] };
  }
}
