import { levelsOf } from '../../playback/performance.js';
import type { Session } from '../../playback/session.js';
import { tickAt, timeAt } from '../../time/segment.js';
import { sentNotes } from '../../time/sent-notes.js';
import type { StrokeHeard } from '../stroke-heard.js';

/** What is said once it is known that the microphone hears the click. */
export const otherClickSentence = 'the click of other gear is heard too: use headphones to keep it out';

/** The click is heard this much later than it is due, ms. */
const [earliest, latest] = [-20, 450];
/** This many count-in clicks are heard with one delay, this near to each other, ms: no hand is so even. */
const enough = 4;
const together = 8;
/** A stroke is looked at as a click when it comes within this much of a click's time, ms. */
const within = 15;
/** It is a click when it is this similar, as a normalised correlation of a few hundredths of a second, tried this far to both sides, seconds. */
const alike = 0.85;
const compared = 0.04;
const shift = 0.001;
/** Clicks that are remembered: their times, and how they sound; of each accent one at least. */
const mostDue = 64;
const mostSounds = 8;
/** Clicks that are played within this long are known, ms. */
const aheadMs = 500;

/**
 * Keeps clicks of gear whose sound is unknown from being taken for strokes. In a count-in nobody plays: what is heard there with one
 * delay after the clicks is the clicks, and tells how they sound. A stroke at a click's time that sounds the same is the click; a chop
 * on a click sounds different.
 */
export class OtherClick {
  /** When clicks are due, ms, and whether they are of a count-in. */
  private due: { readonly ms: number; readonly counts: boolean }[] = [];
  private reached = Number.NEGATIVE_INFINITY;
  private heard: { readonly late: number; readonly stroke: StrokeHeard }[] = [];
  private delay: number | null = null;
  private sounds: Float32Array[] = [];

  /** `rate`: samples a second of the strokes' clips. */
  constructor(private readonly rate: number) {}

  /** Whether the click is heard. */
  get isHeard(): boolean {
    return this.delay !== null;
  }

  /** Time has gone on, or the session has changed. */
  look({ link, performance }: Session, at: number): void {
    if (link.state !== 'running' || !performance?.conductor || link.spans.length === 0) {
      this.reached = Number.NEGATIVE_INFINITY;
      return;
    }
    if (levelsOf(performance)[0] === 0) return;
    // What was predicted beyond now may have been changed.
    this.due = this.due.filter(({ ms }) => ms < at).slice(-mostDue);
    const from = Math.max(this.reached, tickAt(link.spans, at));
    for (const { tick, voice, counts } of sentNotes(
      performance.conductor,
      from,
      tickAt(link.spans, at + aheadMs),
    ))
      if (voice === 0) this.due.push({ ms: timeAt(link.spans, tick) - (link.out?.offset ?? 0), counts });
    this.reached = from;
  }

  /** Whether a stroke is only the click. */
  isClick(stroke: StrokeHeard): boolean {
    const { delay } = this;
    if (delay === null) return this.learn(stroke);
    const near = this.due.some(({ ms }) => Math.abs(stroke.ms - ms - delay) <= within);
    return near && this.sounds.some((sound) => this.likeness(sound, stroke) >= alike);
  }

  /** Takes a stroke of a count-in; returns whether the click became known by it. */
  private learn(stroke: StrokeHeard): boolean {
    const lates = this.due.flatMap(({ ms, counts }) => (counts ? [stroke.ms - ms] : []));
    for (const late of lates) if (late >= earliest && late <= latest) this.heard.push({ late, stroke });
    this.heard = this.heard.slice(-2 * mostDue);
    for (const { late } of this.heard) {
      const same = this.heard.filter((one) => one.late >= late && one.late <= late + together);
      if (new Set(same.map((one) => one.stroke)).size < enough) continue;
      this.delay = same.reduce((sum, one) => sum + one.late, 0) / same.length;
      this.sounds = [...new Set(same.map((one) => one.stroke))]
        .map((one) => this.soundOf(one))
        .slice(-mostSounds);
      this.heard = [];
      return true;
    }
    return false;
  }

  private soundOf({ clip, attack }: StrokeHeard): Float32Array {
    return clip.slice(attack, attack + Math.round(compared * this.rate));
  }

  private likeness(sound: Float32Array, { clip, attack }: StrokeHeard): number {
    const reach = Math.round(shift * this.rate);
    let best = 0;
    for (let from = Math.max(0, attack - reach); from <= attack + reach; from += 1) {
      let [product, one, other] = [0, 1e-12, 1e-12];
      for (let at = 0; at < sound.length; at += 1) {
        const [a, b] = [sound[at] as number, clip[from + at] ?? 0];
        product += a * b;
        one += a * a;
        other += b * b;
      }
      best = Math.max(best, product / Math.sqrt(one * other));
    }
    return best;
  }
}
