import type { Ear, EarMessage, EarOptions } from '../ear/client.js';
import type { EarSpec } from '../ear/messages.js';
import type { Level } from '../listen/limits.js';
import { PassEar } from '../playback/pass-ear.js';
import type { Session } from '../playback/session.js';
import type { OutSpec } from '../player/messages.js';
import { QuietWatch } from './quiet-watch.js';
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
  /** What the pass's ear was made for: the same microphone that is back goes on with it. */
  private madeFor = '';
  private readonly quiet = new QuietWatch();
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
    const quiet = this.quiet.look(pass.barsSince(this.quiet.since));
    if (quiet) this.host.dispatch({ kind: 'ear', message: quiet, at });
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
    if (this.quiet.holds(message, at)) return;
    const isWrong = wrongBy(message);
    if (isWrong !== null) this.pass?.trouble(isWrong, at);
    if (message.kind === 'opened') this.opened(message, at);
    // Strokes and their clips are many, and of no interest to the screen but where the music has them.
    else if (message.kind !== 'stroke' && message.kind !== 'onset')
      this.host.dispatch({ kind: 'ear', message, at });
    if (message.kind !== 'stroke' || !this.pass) return;
    this.look();
    for (const told of this.pass?.stroke(message) ?? []) this.host.dispatch({ kind: 'pass-told', told, at });
  }

  private opened(message: Extract<EarMessage, { kind: 'opened' }>, at: number): void {
    const { level, keep, calibrationOf } = this.listening;
    const { out } = this.host.session().link;
    const found = calibrationOf(out, message.name);
    const madeFor = JSON.stringify([message.name, message.rate, out, found]);
    // Of a pass in which the microphone was away for a while all that was heard is judged, and that it was away.
    if (this.pass && madeFor === this.madeFor) this.pass.trouble(false, at);
    else
      this.pass = new PassEar(message.rate, {
        level,
        offset: found && !found.headphones ? found.ms : null,
        near: found?.ms ?? null,
      });
    this.madeFor = madeFor;
    const keeps = keep === null ? {} : { keeps: keep };
    this.host.dispatch({ kind: 'ear', message, at, calibrated: found !== null, ...keeps });
  }
}

/** Whether by what the ear said nothing can be judged from now on; `null` where it says nothing of that. */
function wrongBy(message: EarMessage): boolean | null {
  switch (message.kind) {
    case 'failed':
    case 'gone':
    case 'stalled':
    case 'died':
      return true;
    case 'level':
    case 'condition':
      return message.condition !== 'fine';
    default:
      return null;
  }
}
