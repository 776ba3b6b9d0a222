import type { Ear, EarMessage, EarOptions } from '../ear/client.js';
import type { EarSpec } from '../ear/messages.js';
import type { EvenChops } from '../listen/four-chops.js';
import type { Level } from '../listen/limits.js';
import type { CourseToTune } from '../listen/tuning-ear.js';
import { ChopEar } from '../playback/chop-ear.js';
import { PassEar } from '../playback/pass-ear.js';
import type { Session } from '../playback/session.js';
import type { OutSpec } from '../player/messages.js';
import type { Message } from './state/messages.js';

/** How late strokes are heard, ms. With headphones it was measured by the player's own strokes, and tells no absolute lead. */
export interface Calibrated {
  readonly ms: number;
  readonly headphones: boolean;
}

/** How the microphone is listened to. */
export interface Listening {
  readonly from: EarSpec;
  /** A WAV file that what is heard is written to; `null`: nothing is kept. */
  readonly keep: string | null;
  readonly level: Level;
  /** What calibration found for an output and a microphone; `null` where it found nothing. */
  readonly calibrationOf: (out: OutSpec | null, microphone: string) => Calibrated | null;
}

/** What a listener needs of the program. */
export interface ListenerHost {
  readonly open: (options: EarOptions) => Ear;
  readonly session: () => Session;
  readonly dispatch: (message: Message) => void;
  readonly now: () => number;
  readonly setTimer: (act: () => void, ms: number) => unknown;
  readonly clearTimer: (timer: unknown) => void;
}

/** The time of a stroke is told twice, and may be better known the second time, ms. */
const sameMs = 5;

/**
 * Between the ear's process and the screen: opens it when that is asked for, brings what it says, and what of it belongs to the music that
 * is played.
 */
export class Listener {
  private ear: Ear | null = null;
  private pass: PassEar | null = null;
  private timer: unknown = null;
  private readonly chops = new ChopEar();
  private courses: readonly CourseToTune[] | null = null;
  /** When the last stroke of a count was heard, which is none of the music it began, ms. */
  private counted = Number.NEGATIVE_INFINITY;

  constructor(
    private readonly listening: Listening,
    private readonly host: ListenerHost,
  ) {}

  /** Listens, or does no longer. The process stays once it is there. */
  listen(on: boolean): void {
    const { from, keep } = this.listening;
    if (!on) {
      this.pass = null;
      this.ear?.close();
    } else if (this.ear) this.ear.open(from, keep);
    else this.ear = this.host.open({ from, keep, onMessage: (message) => this.heard(message) });
  }

  /** Hears courses that are struck for tuning, or no longer. */
  tune(courses: readonly CourseToTune[] | null): void {
    this.courses = courses;
    this.ear?.tune(courses);
  }

  /** Time has gone on, or something has changed. */
  look(): void {
    if (this.timer !== null) this.host.clearTimer(this.timer);
    this.timer = null;
    const { pass } = this;
    const at = this.host.now();
    this.chops.look(this.host.session(), at);
    if (!pass) return;
    for (const told of pass.look(this.host.session(), at))
      this.host.dispatch({ kind: 'pass-told', told, at });
    const due = this.pass?.dueAt ?? null;
    if (due !== null)
      this.timer = this.host.setTimer(() => this.look(), Math.max(1, Math.ceil(due - this.host.now())));
  }

  /** Ends the ear's process. */
  quit(): Promise<void> {
    if (this.timer !== null) this.host.clearTimer(this.timer);
    this.pass = null;
    return this.ear?.quit() ?? Promise.resolve();
  }

  private heard(message: EarMessage): void {
    const at = this.host.now();
    if (message.kind === 'opened') {
      if (this.courses) this.ear?.tune(this.courses);
      const { level, calibrationOf } = this.listening;
      const found = calibrationOf(this.host.session().link.out, message.name);
      this.pass = new PassEar(message.rate, {
        level,
        offset: found && !found.headphones ? found.ms : null,
        near: found?.ms ?? null,
      });
    }
    // Strokes and their clips are many, and of no interest to the screen but where the music has them.
    if (message.kind !== 'stroke' && message.kind !== 'onset')
      this.host.dispatch({ kind: 'ear', message, at });
    if (!this.pass) return;
    if (message.kind === 'onset') this.begun(this.chops.onset(message), at);
    if (message.kind !== 'stroke') return;
    this.begun(this.chops.stroke(message), at);
    if (message.ms <= this.counted + sameMs) return;
    this.look();
    for (const told of this.pass?.stroke(message) ?? []) this.host.dispatch({ kind: 'pass-told', told, at });
  }

  /** A count was heard: it begins the music, or whatever the screen makes of it. */
  private begun(chops: EvenChops | null, at: number): void {
    if (!chops) return;
    this.counted = chops.last;
    this.host.dispatch({ kind: 'chopped', chops, late: this.pass?.offset ?? null, at });
  }
}
