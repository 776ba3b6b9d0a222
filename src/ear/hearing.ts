import { ConditionMeter } from '../listen/condition.js';
import type { Onset } from '../listen/onsets.js';
import { OwnDelay } from '../listen/own-delay.js';
import { type OwnSound, OwnSounds } from '../listen/own-sounds.js';
import { SampleClock } from '../listen/sample-clock.js';
import type { SoundAhead } from '../listen/sound-ahead.js';
import { type HeardStroke, StrokeHearer } from '../listen/strokes.js';
import { TimbreReader } from '../listen/timbre.js';
import { type CourseHeard, type CourseToTune, TuningEar } from '../listen/tuning-ear.js';
import { ConditionWatch, conditionSentence } from './conditions.js';
import type { FromEar } from './messages.js';
import { ownSamples } from './own-samples.js';

/** Sound is listened to in pieces of at most this length, seconds: after a burst nothing is forgotten before it is looked at. */
const piece = 0.05;
/** A level is reported this often, seconds. */
const levelEvery = 0.1;
/** What of a stroke is passed on: this long before its attack and after it, seconds. */
const around = 0.11;
/** Own sounds are placed among the samples this long before they are due, ms: the later, the better their samples are known. */
const placeAhead = 60;
/**
 * From one own sound to the next their distance is taken by the card's rate alone, and only this much of what the clock says of the
 * place besides: the clock finds it to a fraction of a ms, but taking a sound out wants the same place each time. Further off than
 * that, ms, the place is the clock's.
 */
const follow = 0.02;
const farOff = 2;
/** Own sounds that wait to be placed, at most: more than a minute of the densest music. */
export const mostAhead = 2000;
/** Sounds whose samples are kept, the newest: what a chart needs is less. */
const mostKept = 24;
/** The number of clicks that are learned from once their delay is known, and how much of the sound before the first, seconds. */
const mostSought = 12;
const learnBefore = 0.3;
/** An own sound is placed at most this much beside where the clock would put it, ms. */
const placedWithin = 3;
/** Where sound was lost the wave jumps: an onset within this time of it is not a stroke, seconds. */
const jump = 0.04;

/**
 * What is made of the sound of one source, in pieces as they arrive: strokes with their times, levels, what is wrong. Knows no
 * clock and no device, and its memory is bounded.
 */
export class Hearing {
  private readonly clock: SampleClock;
  private readonly meter: ConditionMeter;
  private readonly watch = new ConditionWatch();
  private readonly own: OwnSounds;
  private readonly hearer: StrokeHearer;
  private readonly timbres: TimbreReader;
  private tuning: TuningEar | null = null;
  private readonly sounds: Record<string, Float32Array> = {};
  private ahead: SoundAhead[] = [];
  /** How much later than they are due own sounds are heard, ms; `null` while it is not known, and looked for by `finder`. */
  private delay: number | null = null;
  private finder: OwnDelay | null = null;
  /** Clicks that were looked for. */
  private sought: OwnSound[] = [];
  /** The own sound that was placed last. */
  private placed: { readonly ms: number; readonly sample: number } | null = null;
  private heard = 0;
  private gaps = 0;

  /** `rate`: samples a second; `tell` is called with what is heard, at once. */
  constructor(
    private readonly rate: number,
    private readonly tell: (message: FromEar) => void,
  ) {
    this.clock = new SampleClock(rate);
    this.meter = new ConditionMeter(rate);
    this.own = new OwnSounds(rate, this.sounds);
    this.timbres = new TimbreReader(rate);
    this.hearer = new StrokeHearer(rate, { own: this.own, onOnset: (onset) => this.onset(onset) });
  }

  /** The next samples, which arrived at `ms` (shared clock); `awaited`: this process was waiting for them. */
  sound(samples: Float32Array, ms: number, awaited = true): void {
    this.clock.arrived(samples.length, ms, awaited);
    this.tellGap();
    const longest = Math.max(1, Math.round(piece * this.rate));
    for (let from = 0; from < samples.length; from += longest)
      this.take(samples.subarray(from, from + longest));
  }

  /** The source lost sound: right before what comes next, or somewhere about. */
  lost(where: 'here' | 'about'): void {
    if (where === 'about') this.clock.mayHaveLost();
    else this.clock.lost();
    this.tellGap();
  }

  /**
   * Own sounds that will be made, in any order, in place of those that were announced from `from` on, ms; those that are heard
   * already are too late to be taken out.
   */
  announce(sounds: readonly SoundAhead[], from: number): void {
    const before = this.ahead.filter(({ ms }) => ms < from);
    this.ahead = [...before, ...sounds].sort((one, other) => one.ms - other.ms).slice(0, mostAhead);
    const sample = this.clock.sampleAt(from + (this.delay ?? 0) - placedWithin);
    if (sample !== null) this.own.withdraw(sample);
  }

  /** How much later than they are due own sounds are heard, ms; `null`: that must be found out. */
  setDelay(ms: number | null): void {
    if (ms === this.delay) return;
    this.delay = ms;
    this.placed = null;
    this.finder = null;
    this.sought = [];
  }

  /** Hears courses that are struck, for tuning; `null`: no longer. */
  tune(courses: readonly CourseToTune[] | null): void {
    this.tuning = courses && new TuningEar(this.rate, courses, this.heard);
  }

  /** The sound has ended: tells the strokes that were still listened to. */
  end(): void {
    for (const stroke of this.hearer.end()) this.stroke(stroke);
  }

  private take(samples: Float32Array): void {
    if (this.delay === null) this.find(samples);
    this.place(samples.length);
    const before = Math.floor(this.heard / (levelEvery * this.rate));
    this.heard += samples.length;
    const hearing = this.meter.push(samples);
    // The pieces are short: an onset in them is reported before the tuning has gone far beyond it.
    this.courses(this.tuning?.push(samples));
    for (const stroke of this.hearer.push(samples)) this.stroke(stroke);
    if (Math.floor(this.heard / (levelEvery * this.rate)) === before) return;
    this.tell({ kind: 'level', ...hearing });
    const condition = this.watch.take(hearing.condition);
    if (condition) this.tell({ kind: 'condition', condition, sentence: conditionSentence(condition) });
  }

  /** Finds out how late own sounds are heard, as long as that is not known. */
  private find(samples: Float32Array): void {
    const end = this.heard + samples.length;
    if (this.ahead.length > 0) this.finder ??= new OwnDelay(this.rate, this.heard);
    const { finder } = this;
    if (!finder) return;
    for (let next = this.ahead[0]; next; next = this.ahead[0]) {
      const sample = this.clock.sampleAt(next.ms);
      if (sample === null || sample > end) break;
      this.ahead.shift();
      if (next.voice !== 0 || sample < this.heard) continue;
      finder.due(sample, this.known(next));
      this.sought = [...this.sought, { ...this.ownSound(next), sample }].slice(-mostSought);
    }
    const found = finder.push(samples);
    if (found === null) return;
    this.setDelay((1000 * found) / this.rate);
    // What was heard until now tells the way through the room at once.
    const sought = this.sought.map((one) => ({ ...one, sample: one.sample + found }));
    this.sought = [];
    const first = sought[0]?.sample ?? this.heard;
    const { samples: past, begin } = finder.since(first - learnBefore * this.rate);
    this.own.learnFrom(past, begin, sought);
  }

  private ownSound(next: SoundAhead): Omit<OwnSound, 'sample'> {
    const { name: sound, level, length } = ownSamples(next, this.rate);
    return { sound, level, alone: next.alone ?? false, ...(length === undefined ? {} : { length }) };
  }

  /** The samples of an own sound, made when they are first wanted. */
  private known(next: SoundAhead): Float32Array {
    const { name, samples } = ownSamples(next, this.rate);
    const known = this.sounds[name] ?? samples();
    delete this.sounds[name];
    this.sounds[name] = known;
    const [oldest, ...others] = Object.keys(this.sounds);
    if (oldest !== undefined && others.length >= mostKept) delete this.sounds[oldest];
    return known;
  }

  /** Announces to those who take own sounds out the ones that are due soon after the next samples. */
  private place(count: number): void {
    if (this.delay === null) return;
    const soon = this.heard + count + (placeAhead / 1000) * this.rate;
    for (let next = this.ahead[0]; next; next = this.ahead[0]) {
      const sample = this.clock.sampleAt(next.ms + this.delay);
      if (sample === null || sample > soon) return;
      this.ahead.shift();
      const placed = this.steady(next.ms, sample);
      if (placed < this.heard) continue;
      this.known(next);
      this.own.expect({ ...this.ownSound(next), sample: placed });
    }
  }

  /** The place of an own sound that is due at `ms` and that the clock puts at `sample`. */
  private steady(ms: number, sample: number): number {
    const rate = (this.rate / 1000) * (1 + this.clock.drift * 1e-6);
    const foretold = this.placed ? this.placed.sample + (ms - this.placed.ms) * rate : sample;
    const off = sample - foretold;
    this.placed = { ms, sample: Math.abs(off) > farOff * rate ? sample : foretold + follow * off };
    return this.placed.sample;
  }

  private onset({ sample, strength }: Onset): void {
    const ms = this.clock.at(sample);
    if (ms === null || this.atJump(sample)) return;
    const { samples, begin } = this.hearer.detector.heard.from(sample);
    const timbre = this.timbres.read(samples, Math.max(0, sample - begin));
    this.tell({ kind: 'onset', ms, sample, strength, timbre });
    this.courses(this.tuning?.onset(sample));
  }

  private stroke({ sample, strength, kind, kindSure, kinds, ringMs, ringsOn }: HeardStroke): void {
    const ms = this.clock.at(sample);
    if (ms === null || this.atJump(sample)) return;
    const { samples, begin } = this.hearer.detector.heard.from(sample - around * this.rate);
    const clip = samples.slice(0, Math.round(2 * around * this.rate));
    this.tell({
      kind: 'stroke',
      ms,
      sample,
      strength,
      stroke: kind,
      sure: kindSure,
      kinds,
      ringMs,
      ringsOn,
      clip,
      attack: Math.round(sample) - begin,
    });
  }

  private courses(heard: readonly CourseHeard[] = []): void {
    for (const course of heard) {
      const ms = this.clock.at(course.sample);
      if (ms !== null) this.tell({ kind: 'course', ms, ...course });
    }
  }

  private atJump(sample: number): boolean {
    return Math.abs(sample - this.clock.lastLoss) < jump * this.rate;
  }

  private tellGap(): void {
    if (this.clock.gaps === this.gaps) return;
    this.gaps = this.clock.gaps;
    const ms = this.clock.at(this.clock.lastLoss);
    if (ms !== null) this.tell({ kind: 'gap', ms, sample: this.clock.lastLoss });
  }
}
