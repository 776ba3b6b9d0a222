import { quoted } from '../base/safe-text.js';
import { Decimator, decimationOf } from '../listen/decimate.js';
import type { SoundAhead } from '../listen/sound-ahead.js';
import type { CourseToTune } from '../listen/tuning-ear.js';
import { Hearing, mostAhead } from './hearing.js';
import { KeptSound } from './keep.js';
import type { EarSpec, FromEar } from './messages.js';
import { CannotHear, type Source, type SourceEvents } from './sources/source.js';

/** Without sound for this long a source has stalled, ms; how often that is looked at. */
const stalledMs = 1500;
export const lookMs = 250;
/** How often a microphone that has gone is looked for, ms. */
export const reopenMs = 2000;

/** What listening needs of the machine: its clock, and what opens a source. */
export interface EarHost {
  now(): number;
  later(act: () => void, ms: number): void;
  /** Whether the process has been waiting since it was asked last, and not been busy all the time. */
  waited(): boolean;
  open(from: EarSpec, events: SourceEvents): Promise<Source>;
}

/**
 * One ear: listens to a source, and to it again when it was gone and is back, keeps what is heard where that was asked for, and tells
 * its owner. If several are opened one after another, only the last is listened to.
 */
export class Listening {
  private source: Source | null = null;
  private hearing: Hearing | null = null;
  private decimator = new Decimator(1);
  private kept: KeptSound | null = null;
  private keep: string | null = null;
  /** The file that was begun last: it is ours, and what is heard later stands beside it. */
  private begun: string | null = null;
  private from: EarSpec | null = null;
  /** Counts the requests: the result of an earlier call no longer concerns us. */
  private turn = 0;
  private lastSound = 0;
  private stalled = false;
  private delay: number | null = null;
  private announced: readonly SoundAhead[] = [];

  constructor(
    private readonly host: EarHost,
    private readonly tell: (message: FromEar) => void,
  ) {}

  /**
   * Listens there, in place of where it listened. `keep`: the file that what is heard is written to; `null`: none. `again`: it was
   * listened there before.
   */
  async open(from: EarSpec, keep: string | null, again = false): Promise<void> {
    this.close();
    this.from = from;
    this.keep = keep;
    await this.begin(this.turn, again);
  }

  /** Stops listening. */
  close(): void {
    this.turn += 1;
    this.from = null;
    this.drop();
    this.kept?.close();
    this.kept = null;
  }

  /** Own sounds that are going to be made, in place of those that were announced from `from` on, ms. */
  announce(sounds: readonly SoundAhead[], from: number): void {
    if (this.hearing) this.hearing.announce(sounds, from);
    else this.announced = [...this.announced.filter(({ ms }) => ms < from), ...sounds].slice(-mostAhead);
  }

  setDelay(ms: number | null): void {
    this.delay = ms;
    this.hearing?.setDelay(ms);
  }

  /** Hears courses for tuning in the sound of now; to be told again after each `opened`. */
  tune(courses: readonly CourseToTune[] | null): void {
    this.hearing?.tune(courses);
  }

  /** Looks whether sound still comes; to be called a few times a second. */
  look(): void {
    if (!this.source || this.stalled || this.host.now() - this.lastSound < stalledMs) return;
    this.stalled = true;
    const sentence = `no sound comes from ${quoted(this.source.name, 60)} any more; check that it is connected (the music goes on)`;
    this.tell({ kind: 'stalled', sentence });
  }

  private async begin(turn: number, again: boolean): Promise<void> {
    if (!this.from) return;
    const early: (() => void)[] = [];
    let ready = false;
    // The first sound may come before the source is said to be open.
    const ours = (act: () => void): void => {
      if (turn !== this.turn) return;
      if (ready) act();
      else early.push(act);
    };
    try {
      const source = await this.host.open(this.from, {
        onSound: (samples, ms) => ours(() => this.sound(samples, ms)),
        onLost: (where) => ours(() => this.hearing?.lost(where)),
        onGone: (sentence) => ours(() => this.gone(sentence)),
      });
      if (turn !== this.turn) return source.close();
      this.use(source, again);
      ready = true;
      for (const act of early) ours(act);
    } catch (error) {
      if (turn !== this.turn) return;
      // A microphone that was there may come back; one that never was needs a person to change something.
      if (again) this.host.later(() => this.begin(turn, true), reopenMs);
      else this.tell({ kind: 'failed', sentence: sentenceOf(error) });
    }
  }

  private use(source: Source, again: boolean): void {
    this.source = source;
    const factor = decimationOf(source.rate);
    const rate = source.rate / factor;
    this.decimator = new Decimator(factor);
    this.hearing = new Hearing(rate, this.tell);
    this.hearing.setDelay(this.delay);
    this.hearing.announce(this.announced, Number.NEGATIVE_INFINITY);
    this.announced = [];
    this.lastSound = this.host.now();
    this.stalled = false;
    this.startKeeping(source, again);
    this.tell({ kind: 'opened', name: source.name, rate, by: source.by });
  }

  private sound(samples: Float32Array, ms: number): void {
    this.lastSound = ms;
    this.stalled = false;
    const needed = this.decimator.push(samples);
    const awaited = this.host.waited();
    if (needed.length > 0) this.hearing?.sound(needed, ms, awaited);
    if (!this.kept) return;
    try {
      this.kept.write(samples);
    } catch (error) {
      this.stopKeeping((error as Error).message);
    }
  }

  private gone(sentence: string | null): void {
    const { turn } = this;
    this.hearing?.end();
    this.drop();
    if (sentence === null) {
      this.kept?.close();
      this.kept = null;
      this.tell({ kind: 'ended' });
      return;
    }
    this.tell({ kind: 'gone', sentence });
    this.host.later(() => {
      if (turn === this.turn) this.begin(turn, true);
    }, reopenMs);
  }

  private drop(): void {
    this.source?.close();
    this.source = null;
    this.hearing = null;
    this.announced = [];
  }

  private startKeeping(source: Source, again: boolean): void {
    if (this.keep === null || this.kept?.rate === source.rate) return;
    this.kept?.close();
    this.kept = null;
    try {
      this.kept = KeptSound.begin(this.keep, source.rate, again || this.begun === this.keep);
      this.begun = this.keep;
    } catch (error) {
      this.stopKeeping((error as Error).message);
    }
  }

  private stopKeeping(why: string): void {
    const path = this.keep ?? '';
    this.kept = null;
    this.keep = null;
    this.tell({
      kind: 'trouble',
      sentence: `the sound cannot be kept in ${quoted(path, 80)}: ${why}; name another file with --keep`,
    });
  }
}

function sentenceOf(error: unknown): string {
  if (error instanceof CannotHear) return error.message;
  return `the microphone cannot be used (${(error as Error).message}); choose another microphone`;
}
