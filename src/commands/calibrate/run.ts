import { type Ear, type EarMessage, openEar } from '../../ear/client.js';
import type { EarSpec } from '../../ear/messages.js';
import { type RoundTrip, roundTrip } from '../../listen/calibration.js';
import { soundPlace } from '../../listen/click-place.js';
import type { StrokeHeard } from '../../listen/stroke-heard.js';
import { type ClientMessage, PlayerClient } from '../../player/client.js';
import type { OutSpec } from '../../player/messages.js';
import { woodBlock } from '../../player/synth/wood-block.js';
import type { Span } from '../../time/segment.js';
import { exit, print, Stop, say } from '../exit.js';
import { clickSegments, clicksDue } from './clicks.js';
import { beatMs, byChops, byClicks, inHeadphones, lookAfter, loudness, toldMs } from './how.js';
import { unheard, unplayable } from './unheard.js';

/** What a calibration found, and between which output and microphone. */
export interface Found {
  readonly trip: RoundTrip;
  readonly out: OutSpec;
  readonly label: string;
  readonly microphone: string;
}

/**
 * Plays clicks through the first output that opens and hears them, or the chops of somebody with headphones. Throws `Stop` with what is
 * wrong and what to do where that cannot be done.
 */
export function measure(outs: readonly OutSpec[], from: EarSpec, headphones: boolean): Promise<Found> {
  return new Calibration(outs, from, headphones).run();
}

class Calibration {
  private readonly player: PlayerClient;
  private readonly ear: Ear;
  private readonly how: typeof byClicks;
  private readonly heard: number[] = [];
  private out: { spec: OutSpec; label: string } | null = null;
  private microphone: { name: string; rate: number } | null = null;
  private spans: readonly Span[] = [];
  private playing = false;
  /** Nothing has come from the microphone for a while. */
  private stalled = false;
  /** What is to be said of a microphone that delivers nothing but silence; `null` while it does not. */
  private silence: string | null = null;
  private level = 0;
  /** The click at which it was begun with this level. */
  private startedAt = 0;
  private timers: NodeJS.Timeout[] = [];
  private finish: (ended: RoundTrip | Stop) => void = () => {};

  constructor(
    private readonly outs: readonly OutSpec[],
    from: EarSpec,
    private readonly headphones: boolean,
  ) {
    this.how = headphones ? byChops : byClicks;
    this.player = new PlayerClient((message) => this.played(message));
    this.ear = openEar({ from, onMessage: (message) => this.hears(message) });
  }

  async run(): Promise<Found> {
    const ended = new Promise<RoundTrip | Stop>((resolve) => {
      this.finish = resolve;
    });
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const)
      process.once(signal, () =>
        this.finish(new Stop(130, 'the calibration was interrupted', 'nothing was saved')),
      );
    const result = await ended;
    for (const timer of this.timers) clearTimeout(timer);
    await Promise.all([this.player.quit(), this.ear.quit()]);
    if (result instanceof Stop) throw result;
    const { out, microphone } = this;
    if (!out || !microphone) throw new Error('no output was opened');
    return { trip: result, out: out.spec, label: out.label, microphone: microphone.name };
  }

  private hears(message: EarMessage): void {
    switch (message.kind) {
      case 'opened':
        if (this.microphone) break;
        this.microphone = { name: message.name, rate: message.rate };
        this.player.setLevels(this.levels());
        this.player.open([...this.outs]);
        break;
      case 'failed':
      case 'gone':
      case 'died':
        this.finish(new Stop(exit.machine, message.sentence));
        break;
      // Some devices deliver nothing, or zeros, before something sounds: it matters only where nothing is heard in the end.
      case 'stalled':
        this.stalled = true;
        break;
      case 'condition':
        this.silence = message.condition === 'silent' ? message.sentence : null;
        if (message.sentence !== null && this.silence === null) say(message.sentence);
        break;
      case 'stroke':
        this.heard.push(this.headphones ? message.ms : this.placeOf(message));
        break;
      default:
    }
  }

  /** When a click that was heard began: by the built-in sound where it is that, more exactly than any stroke is placed. */
  private placeOf({ ms, clip, attack }: StrokeHeard): number {
    const { rate } = this.microphone ?? { rate: 48_000 };
    const place = soundPlace(clip, woodBlock(rate, false));
    return place === null ? ms : ms + (1000 * (place - attack)) / rate;
  }

  private played(message: ClientMessage): void {
    switch (message.kind) {
      case 'opened':
        if (message.out.kind === 'none') {
          this.finish(unplayable(message.refused));
          break;
        }
        this.out = { spec: message.out, label: message.label };
        if (!this.playing) this.play();
        break;
      case 'failed':
        this.finish(unplayable(message.reasons));
        break;
      case 'spans':
        this.spans = message.spans;
        break;
      case 'died':
        this.finish(new Stop(exit.machine, `the player process ended unexpectedly (${message.reason})`));
        break;
      default:
    }
  }

  private play(): void {
    this.playing = true;
    this.player.append(clickSegments(this.how.bpm));
    this.player.send({ kind: 'play', tick: 0 });
    print('playing clicks…');
    if (!this.headphones) this.later(this.how.first + lookAfter, toldMs, () => this.look());
    this.later(this.how.first + this.how.count, toldMs + 500, () => this.end());
  }

  /** Makes the clicks louder, and begins again, where they are not heard. */
  private look(): void {
    const begun = clicksDue(this.spans, this.startedAt, this.how.first + lookAfter);
    if (roundTrip(begun, this.heard, this.how) || this.level + 1 >= loudness.length) return;
    this.level += 1;
    this.startedAt += this.how.first + lookAfter;
    this.player.setLevels(this.levels());
    for (const timer of this.timers.splice(0)) clearTimeout(timer);
    this.later(this.how.first + lookAfter, 0, () => this.look());
    this.later(this.how.first + this.how.count, toldMs, () => this.end());
  }

  private end(): void {
    const { first, count } = this.how;
    const trip = roundTrip(clicksDue(this.spans, this.startedAt + first, count), this.heard, this.how);
    if (!trip && this.silence !== null) say(this.silence);
    this.finish(
      trip ?? unheard({ headphones: this.headphones, silent: this.stalled && this.heard.length === 0 }),
    );
  }

  private levels(): number[] {
    return [this.headphones ? inHeadphones : (loudness[this.level] as number), 0, 0, 0];
  }

  /** Does something after a number of clicks and a further number of ms. */
  private later(clicks: number, ms: number, act: () => void): void {
    this.timers.push(setTimeout(act, clicks * beatMs(this.how) + ms));
  }
}
