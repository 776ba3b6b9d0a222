import type { Ear, EarMessage, EarOptions } from '../ear/client.js';
import type { EarSpec } from '../ear/messages.js';
import type { EvenChops } from '../listen/four-chops.js';
import type { Level } from '../listen/limits.js';
import { ChopEar } from '../listen/live/chop-ear.js';
import { OtherClick, otherClickSentence } from '../listen/live/other-click.js';
import { isDoubled, ownPartSentence } from '../listen/live/own-part.js';
import { PassEar } from '../listen/live/pass-ear.js';
import { SoundsAhead } from '../listen/live/sounds-ahead.js';
import type { StrokeHeard } from '../listen/stroke-heard.js';
import type { CourseToTune } from '../listen/tuning-ear.js';
import type { Session } from '../playback/session.js';
import type { OutSpec } from '../player/messages.js';
import { QuietWatch } from './quiet-watch.js';
import type { Message } from './state/messages.js';

/**
 * How much later than it is due at an output without offset a sound is heard, ms. With headphones it was measured by the player's own
 * strokes, and tells no absolute lead.
 */
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

/** The time of a stroke is reported twice, and may be better known the second time, ms. */
const sameMs = 5;

/**
 * Between the ear's process and the screen: opens it when that is asked for, brings what it says, and what of it belongs to the music that
 * is played.
 */
export class Listener {
  private ear: Ear | null = null;
  private pass: PassEar | null = null;
  /** What the pass's ear was made for: when the same microphone is back, it is kept. */
  private madeFor = '';
  private readonly quiet = new QuietWatch();
  private timer: unknown = null;
  /** What is listened to, for which output, and what is known of the two. */
  private microphone: { readonly name: string; readonly rate: number } | null = null;
  private out: OutSpec | null = null;
  private calibrated: Calibrated | null = null;
  private readonly ahead = new SoundsAhead();
  private click: OtherClick | null = null;
  private saidDoubled = false;
  private readonly chops = new ChopEar();
  private courses: readonly CourseToTune[] | null = null;
  /** When the last stroke of a count was heard, which is none of the music it began, ms. */
  private counted = Number.NEGATIVE_INFINITY;

  constructor(
    private readonly listening: Listening,
    private readonly host: ListenerHost,
  ) {}

  /** Starts or stops listening. The process stays once it is there. */
  listen(on: boolean): void {
    const { from, keep } = this.listening;
    if (!on) {
      this.pass = null;
      this.microphone = null;
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
    const at = this.host.now();
    const session = this.host.session();
    this.chops.look(session, at);
    if (!this.pass) return;
    if (session.link.out !== this.out) this.settle();
    const { pass } = this;
    const quiet = this.quiet.look(pass.barsSince(this.quiet.since));
    if (quiet) this.host.dispatch({ kind: 'ear', message: quiet, at });
    this.lookAtOwnSounds(session, at);
    for (const told of pass.look(session, at)) this.host.dispatch({ kind: 'pass-told', told, at });
    const due = Math.min(this.pass?.dueAt ?? Number.POSITIVE_INFINITY, this.ahead.dueAt);
    if (due < Number.POSITIVE_INFINITY)
      this.timer = this.host.setTimer(() => this.look(), Math.max(1, Math.ceil(due - this.host.now())));
  }

  /** Ends the ear's process. */
  quit(): Promise<void> {
    if (this.timer !== null) this.host.clearTimer(this.timer);
    this.pass = null;
    return this.ear?.quit() ?? Promise.resolve();
  }

  /** Another microphone is listened to, or another output is in use: what is known of the pair holds from now on. */
  private settle(): void {
    const { microphone } = this;
    if (!microphone) return;
    const { level, calibrationOf } = this.listening;
    this.out = this.host.session().link.out;
    const found = calibrationOf(this.out, microphone.name);
    this.calibrated = found;
    const headphones = found?.headphones ?? false;
    // An output with an offset sounds earlier than the music has its beats, and whoever plays to it does so too.
    const late = found && found.ms - (this.out?.offset ?? 0);
    const offset = headphones ? null : late;
    const madeFor = JSON.stringify([microphone.name, microphone.rate, this.out, found]);
    if (!this.pass || madeFor !== this.madeFor)
      this.pass = new PassEar(microphone.rate, { level, offset, near: late, headphones });
    this.madeFor = madeFor;
    this.click = headphones ? null : new OtherClick(microphone.rate);
    this.ahead.forget();
    // Own sounds are announced for when they leave, the output's offset taken off.
    this.ear?.setDelay(found && !headphones ? found.ms : null);
  }

  /** Tells the ear what the program is about to play, and says when it plays the player's own part. */
  private lookAtOwnSounds(session: Session, at: number): void {
    const headphones = this.calibrated?.headphones ?? false;
    const told = headphones ? null : this.ahead.look(session, at);
    if (told) this.ear?.announce(told.sounds, told.from);
    this.click?.look(session, at);
    const doubled = session.link.state === 'running' && isDoubled(session, headphones);
    if (doubled && !this.saidDoubled) this.say(ownPartSentence, at);
    this.saidDoubled = doubled;
  }

  /** Whether a stroke is only the click of gear whose sound is unknown; said once when that is found. */
  private isClick(stroke: StrokeHeard): boolean {
    const { click } = this;
    if (!click || this.out?.kind === 'sound') return false;
    const before = click.isHeard;
    const isOne = click.isClick(stroke);
    if (click.isHeard && !before) this.say(otherClickSentence, this.host.now());
    return isOne;
  }

  private say(sentence: string, at: number): void {
    this.host.dispatch({ kind: 'ear', message: { kind: 'trouble', sentence }, at });
  }

  private heard(message: EarMessage): void {
    const at = this.host.now();
    if (this.quiet.holds(message, at)) return;
    const isWrong = wrongBy(message);
    if (isWrong !== null) this.pass?.trouble(isWrong, at);
    if (message.kind === 'opened') this.opened(message, at);
    // Strokes and their clips are many; the screen needs only those that belong to the music.
    else if (message.kind !== 'stroke' && message.kind !== 'onset')
      this.host.dispatch({ kind: 'ear', message, at });
    if (!this.pass) return;
    if (message.kind === 'onset') this.begun(this.chops.onset(message), at);
    if (message.kind !== 'stroke') return;
    this.begun(this.chops.stroke(message), at);
    if (message.ms <= this.counted + sameMs) return;
    this.look();
    if (this.isClick(message)) return;
    for (const told of this.pass?.stroke(message) ?? []) this.host.dispatch({ kind: 'pass-told', told, at });
  }

  /** A count was heard: it begins the music, or what it means in the current mode. */
  private begun(chops: EvenChops | null, at: number): void {
    if (!chops) return;
    this.counted = chops.last;
    this.host.dispatch({ kind: 'chopped', chops, late: this.pass?.offset ?? null, at });
  }

  private opened(message: Extract<EarMessage, { kind: 'opened' }>, at: number): void {
    const { keep } = this.listening;
    this.microphone = message;
    if (this.courses) this.ear?.tune(this.courses);
    this.settle();
    // If the microphone was away during a pass, what was heard is judged, and the absence is reported.
    this.pass?.trouble(false, at);
    const keeps = keep === null ? {} : { keeps: keep };
    this.host.dispatch({ kind: 'ear', message, at, calibrated: this.calibrated !== null, ...keeps });
  }
}

/** Whether the ear's message means that nothing can be judged from now on; `null` where it says nothing about that. */
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
