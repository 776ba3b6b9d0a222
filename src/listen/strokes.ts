import { envelope, ringMs } from './envelope.js';
import { type KindShares, kindOf, kindShares, type StrokeKind } from './kind.js';
import { type Onset, OnsetDetector } from './onsets.js';
import type { OwnSounds } from './own-sounds.js';
import { ringingOn } from './rings-on.js';
import { ToneReader } from './tone.js';

/** A stroke that was heard. */
export interface HeardStroke {
  /** The sample of the recording at which it begins. */
  readonly sample: number;
  /** How clear its onset is; 0.02 is hardly one, 1 is plain. */
  readonly strength: number;
  readonly kind: StrokeKind;
  /** How sure the kind is, 0–1. */
  readonly kindSure: number;
  /** What its sound says of its kind, for those who know what was expected. */
  readonly kinds: KindShares;
  /** Ms from its attack until it was half as loud (10 dB below its peak) for good; null when the next stroke, or noise, hides that. */
  readonly ringMs: number | null;
  /** The MIDI note of a course that rings on when the others are still; null when none does. */
  readonly ringsOn: number | null;
}

export interface HearerOptions {
  /** Sounds that this program makes itself, announced before they sound. */
  readonly own?: OwnSounds;
  /** Told of each onset as soon as it is sure, within 60 ms of sounding. */
  readonly onOnset?: (onset: Onset) => void;
  /** How likely each kind is for a stroke at a sample, by what the music has there; all alike without it. */
  readonly expected?: (sample: number) => KindShares;
}

/** A stroke is reported this long after its attack at the latest, seconds. */
const longest = 0.6;
/** Its notes are read from this much of it, seconds, at least and at most. */
const [leastRead, mostRead] = [0.035, 0.06];
/** The sound before it that is taken off, seconds, and what is left free round an attack. */
const before = 0.058;
const margin = 0.004;
/** Levels of the last strokes that a stroke's level is set beside. */
const remembered = 16;
/** The noise of the room is the least power of the quietest moments of this many latest strokes. */
const floors = 12;

/** Tells what strokes were heard in sound that comes in pieces: when, what kind, how long each rang. */
export class StrokeHearer {
  readonly detector: OnsetDetector;
  private readonly tones: ToneReader;
  private readonly waiting: Onset[] = [];
  private readonly levels: number[] = [];
  private readonly quietest: number[] = [];

  /** `rate`: samples a second. */
  constructor(
    private readonly rate: number,
    private readonly options: HearerOptions = {},
  ) {
    this.detector = new OnsetDetector(rate, options.own ? { own: options.own } : {});
    this.tones = new ToneReader(rate);
  }

  /** Takes the next samples and returns the strokes that are known now: when the next has come, or after 600 ms. */
  push(samples: Float32Array): HeardStroke[] {
    const told: HeardStroke[] = [];
    // In short pieces, so that no stroke is forgotten before it is looked at.
    const piece = Math.round(0.1 * this.rate);
    for (let from = 0; from < samples.length; from += piece) {
      for (const onset of this.detector.push(samples.subarray(from, from + piece))) {
        this.options.onOnset?.(onset);
        this.waiting.push(onset);
      }
      while (this.ready())
        told.push(this.judge(this.waiting.shift() as Onset, this.waiting[0]?.sample ?? null));
    }
    return told;
  }

  /** Returns the strokes that are still waited for: the sound has ended. */
  end(): HeardStroke[] {
    return this.waiting
      .splice(0)
      .map((onset, index, all) => this.judge(onset, all[index + 1]?.sample ?? null));
  }

  private ready(): boolean {
    const [first, second] = this.waiting;
    if (!first) return false;
    // An onset is reported some windows late: only then is it known that no other came before the end.
    return second !== undefined || this.detector.heard.end - first.sample > (longest + 0.06) * this.rate;
  }

  private judge({ sample, strength }: Onset, next: number | null): HeardStroke {
    const { rate } = this;
    const { samples: sound, begin } = this.detector.heard.from(sample - 0.07 * rate);
    const at = sample - begin;
    const end = Math.min(
      sound.length,
      at + Math.round(longest * rate),
      (next ?? Number.POSITIVE_INFINITY) - begin,
    );
    const length = Math.round(
      Math.min(mostRead * rate, Math.max(leastRead * rate, end - at - margin * rate)),
    );
    const start = Math.max(0, at - Math.round(0.002 * rate));
    const tone = this.tones.read(sound, start, length, Math.round(before * rate));
    const { power, stepMs } = envelope(
      sound.subarray(at, Math.max(at, end - Math.round(margin * rate))),
      rate,
    );
    const mean = (from: number, to: number): number => average(power.subarray(from / stepMs, to / stepMs));
    const level = decibels(mean(0, 40));
    const fall = power.length * stepMs > 108 ? decibels(mean(84, 110)) - decibels(mean(4, 40)) : null;
    this.levels.push(level);
    if (this.levels.length > remembered) this.levels.shift();
    const kinds = kindShares({ ...tone, level: level - median(this.levels), fall });
    const expected = this.options.expected?.(sample);
    const { kind, sure } = expected ? kindOf(kinds.evidence, expected) : kindOf(kinds.alone);
    const floor = this.floor(power);
    return {
      sample,
      strength,
      kind,
      kindSure: sure,
      kinds: kinds.evidence,
      ringMs: ringMs(power, stepMs, floor),
      ringsOn: ringingOn(this.tones.spectra, sound.subarray(0, end), at, rate, { power, stepMs, floor }),
    };
  }

  /** The power of the room's noise: of the quietest moments, evened out over 16 ms, of the last strokes the quietest. */
  private floor(power: Float64Array): number {
    let least = Number.POSITIVE_INFINITY;
    for (let place = 0; place + 8 <= power.length; place += 4)
      least = Math.min(least, average(power.subarray(place, place + 8)));
    if (least < Number.POSITIVE_INFINITY) this.quietest.push(least);
    if (this.quietest.length > floors) this.quietest.shift();
    return Math.min(...this.quietest, Number.MAX_VALUE);
  }
}

function average(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value;
  return values.length === 0 ? 0 : sum / values.length;
}

function decibels(power: number): number {
  return 10 * Math.log10(power + 1e-12);
}

function median(values: readonly number[]): number {
  return [...values].sort((one, other) => one - other)[values.length >> 1] ?? 0;
}
