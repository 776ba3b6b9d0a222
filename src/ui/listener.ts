import type { Ear, EarMessage, EarOptions } from '../ear/client.js';
import type { EarSpec } from '../ear/messages.js';
import type { Level } from '../listen/limits.js';
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

/**
 * Between the ear's process and the screen: opens it when that is asked for, brings what it says, and what of it belongs to the music that
 * is played.
 */
export class Listener {
  private ear: Ear | null = null;
  private pass: PassEar | null = null;
  private timer: unknown = null;

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

  /** Time has gone on, or something has changed. */
  look(): void {
    if (this.timer !== null) this.host.clearTimer(this.timer);
    this.timer = null;
    const { pass } = this;
    if (!pass) return;
    const at = this.host.now();
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
    if (message.kind !== 'stroke' || !this.pass) return;
    this.look();
    for (const told of this.pass?.stroke(message) ?? []) this.host.dispatch({ kind: 'pass-told', told, at });
  }
}
