import { ConditionMeter } from '../listen/condition.js';
import type { Onset } from '../listen/onsets.js';
import { OwnSounds } from '../listen/own-sounds.js';
import { SampleClock } from '../listen/sample-clock.js';
import { type HeardStroke, StrokeHearer } from '../listen/strokes.js';
import { ConditionWatch, conditionSentence } from './conditions.js';
import type { FromEar, SoundAhead } from './messages.js';

/** Sound is listened to in pieces of at most this length, seconds: after a burst nothing is forgotten before it is looked at. */
const piece = 0.05;
/** A level is told so often, seconds. */
const levelEvery = 0.1;
/** What of a stroke is handed on: so long before its attack and behind it, seconds. */
const around = 0.11;
/** Own sounds are placed among the samples so long before they are due, ms: the later, the better their samples are known. */
const placeAhead = 60;
/**
 * From one own sound to the next their distance is taken by the card's rate alone, and only so much of what the clock says of the
 * place besides: the clock finds it to a fraction of a ms, but taking a sound out wants the same place each time. Further off than
 * that, ms, the place is the clock's.
 */
const follow = 0.02;
const farOff = 2;
/** Own sounds that wait to be placed, at most: more than a minute of the densest music. */
const mostAhead = 2000;
/** Where sound was lost the wave jumps: what begins within so long of it is no stroke, seconds. */
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
  private readonly sounds: Record<string, Float32Array> = {};
  private ahead: SoundAhead[] = [];
  private delay = 0;
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

  /** The program's own sounds by name, at this source's rate. */
  know(sounds: Readonly<Record<string, Float32Array>>): void {
    Object.assign(this.sounds, sounds);
  }

  /** Own sounds that will be made, in any order; those that are heard already are too late to be taken out. */
  announce(sounds: readonly SoundAhead[]): void {
    this.ahead = [...this.ahead, ...sounds].sort((one, other) => one.ms - other.ms).slice(-mostAhead);
  }

  /** How much later than they are due own sounds are heard, ms. */
  setDelay(ms: number): void {
    this.delay = ms;
    this.placed = null;
  }

  /** The sound has ended: tells the strokes that were still listened to. */
  end(): void {
    for (const stroke of this.hearer.end()) this.stroke(stroke);
  }

  private take(samples: Float32Array): void {
    this.place(samples.length);
    const before = Math.floor(this.heard / (levelEvery * this.rate));
    this.heard += samples.length;
    const hearing = this.meter.push(samples);
    for (const stroke of this.hearer.push(samples)) this.stroke(stroke);
    if (Math.floor(this.heard / (levelEvery * this.rate)) === before) return;
    this.tell({ kind: 'level', ...hearing });
    const condition = this.watch.take(hearing.condition);
    if (condition) this.tell({ kind: 'condition', condition, sentence: conditionSentence(condition) });
  }

  /** Announces to those who take own sounds out the ones that are due soon behind the next samples. */
  private place(count: number): void {
    const soon = this.heard + count + (placeAhead / 1000) * this.rate;
    for (let next = this.ahead[0]; next; next = this.ahead[0]) {
      const sample = this.clock.sampleAt(next.ms + this.delay);
      if (sample === null || sample > soon) return;
      this.ahead.shift();
      const placed = this.steady(next.ms, sample);
      if (placed >= this.heard && this.sounds[next.sound]) this.own.expect({ ...next, sample: placed });
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
    if (ms !== null && !this.atJump(sample)) this.tell({ kind: 'onset', ms, sample, strength });
  }

  private stroke({ sample, strength, kind, kindSure, ringMs, ringsOn }: HeardStroke): void {
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
      ringMs,
      ringsOn,
      clip,
      attack: Math.round(sample) - begin,
    });
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
