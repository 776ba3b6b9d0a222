import { arranged } from '../playback/arranging.js';
import { armed } from '../playback/follow.js';
import { heard } from '../playback/heard.js';
import { nextBeatTime } from '../playback/next-beat.js';
import type { Performance } from '../playback/performance.js';
import {
  type Command,
  type PlaybackEvent,
  type Played,
  pause,
  type Session,
  unmoved,
} from '../playback/session.js';
import { clock, playOrPause } from '../playback/transport.js';
import { type ClientMessage, PlayerClient } from '../player/client.js';
import { hrtimeMs } from '../player/host.js';
import { latenessText } from '../player/lateness.js';
import type { InSpec, LatenessReport } from '../player/messages.js';
import { arrange } from '../time/arrange.js';
import { tickAt } from '../time/segment.js';
import { withoutKeys } from '../ui/typed/spoken.js';
import { exit, print, Stop, say } from './exit.js';
import { howToMend, type Outputs } from './outputs.js';
import { type Obedient, obeyOutside } from './plain-terminal.js';

/** How something is played plainly. */
export interface PlainOptions {
  readonly outputs: Pick<Outputs, 'outs' | 'also'>;
  /** The external clock that is followed, if one is. */
  readonly follow: InSpec | null;
  /** Whether lateness is reported at the end. */
  readonly stats: boolean;
  /** The session that it begins with. */
  readonly session: Session;
  /** Has a step of the session do what it still lacks. */
  readonly settle: (played: Played, at: number) => Played;
  /** The line that is printed when a bar begins. */
  readonly barText: (performance: Performance, pass: number, bar: number) => string;
  /** The music has come to its end by itself. */
  readonly onStopped: (player: PlainPlayer) => void;
  /** How it goes on after a stop by the shell; without it where it was, by itself. */
  readonly goOn?: (session: Session) => Played;
}

/** The clock is looked at when a beat begins, and at least and at most this often, ms: every look takes time from others. */
const leastLookMs = 5;
const mostLookMs = 500;

/** How long the player may take to fall silent before the program stops as the shell asked, ms. */
const restMs = 300;
/** How long the successor of a player that died may take to open its output and end what that one left, ms. */
const successorMs = 1500;

/** A session, as the stand has one too, and what has been printed. */
export class PlainPlayer implements Obedient {
  private current: Session;
  private printed = '';
  private status: number | null = null;
  private timer: NodeJS.Timeout | null = null;
  /** The time that was last looked at. */
  private looked = 0;
  private finish: (status: number) => void = () => {};
  private readonly client: PlayerClient;
  private quarrel = '';
  private tellLateness: (report: LatenessReport) => void = () => {};
  /** How ticks of the external clock's song lie on those of the transport. */
  private armed = { tick: 0, song: 0 };
  /** Where the external clock's song was when the program was stopped, how fast it went, and when; `null` while it goes on. */
  private rested: { readonly song: number; readonly msPerTick: number; readonly at: number } | null = null;
  private silent: () => void = () => {};

  constructor(private readonly options: PlainOptions) {
    this.current = options.session;
    this.client = new PlayerClient((message) => this.hear(message));
  }

  get session(): Session {
    return this.current;
  }

  /** Whether the program was stopped by the shell. */
  get rests(): boolean {
    return this.rested !== null;
  }

  /**
   * Plays until it is ended; answers the exit status. Throws `Stop` where no output can be played to.
   *
   * @param last what is to be done when it is silent, before the player is ended
   */
  async run(last: () => Promise<void> = async () => {}): Promise<number> {
    const ended = new Promise<number>((resolve) => {
      this.finish = resolve;
    });
    const disobey = obeyOutside(this);
    this.go(unmoved(this.current));
    this.client.open(this.options.outputs.outs, this.options.outputs.also);
    const status = await ended;
    if (this.timer) clearTimeout(this.timer);
    // Silence first.
    this.client.send({ kind: 'pause' });
    if (this.options.stats) await this.askLateness();
    await Promise.all([this.client.quit(), last()]);
    disobey();
    if (this.quarrel !== '')
      throw new Stop(
        status,
        this.quarrel,
        'barkline ports lists the outputs that work now; barkline doctor says what to do if something does not work',
      );
    return status;
  }

  /** Takes a step of the session, and does what it asks for. */
  step(by: (session: Session, at: number) => Played): void {
    if (this.status === null) this.go(by(this.current, hrtimeMs()));
  }

  /** Another song is on the stand: its first bar is to be printed, whichever was printed last. */
  anew(): void {
    this.printed = '';
  }

  end(status: number): void {
    if (this.status !== null) return;
    this.status = status;
    this.finish(status);
  }

  async rest(): Promise<void> {
    const { spans, state } = this.current.link;
    if (state !== 'running') return;
    const at = hrtimeMs();
    const song = tickAt(spans, at) - this.armed.tick + this.armed.song;
    this.rested = { song, msPerTick: spans.at(-1)?.msPerTick ?? 1, at };
    await new Promise<void>((resolve) => {
      const limit = setTimeout(resolve, restMs);
      this.silent = () => {
        clearTimeout(limit);
        resolve();
      };
      this.go(pause(this.current));
    });
  }

  goOn(): void {
    const { rested } = this;
    if (!rested || this.status !== null) return;
    this.rested = null;
    this.printed = '';
    if (this.options.follow) {
      // The external clock has gone on meanwhile.
      const gone = (hrtimeMs() - rested.at) / rested.msPerTick;
      this.go(armed(this.current, Math.max(0, Math.floor(rested.song + gone))));
    } else if (this.options.goOn) this.go(this.options.goOn(this.current));
    else if (this.current.link.state !== 'running') this.go(playOrPause(this.current));
  }

  /** Does what a step of the session asks for, and what the session then still lacks. */
  private go(given: Played): void {
    const { session, commands, events } = this.options.settle(given, hrtimeMs());
    this.current = session;
    const plans = commands.filter((command) => command.kind === 'arrange');
    for (const command of commands) if (command.kind !== 'arrange') this.perform(command);
    for (const event of events) this.takeIn(event);
    this.printBar();
    this.lookAgain();
    // Making a plan is a step of its own: only the last that was asked for is wanted.
    const plan = plans.at(-1);
    if (plan) this.go(arranged(this.current, plan.id, arrange(plan.chart, plan.options), hrtimeMs()));
  }

  private perform(command: Exclude<Command, { kind: 'arrange' }>): void {
    switch (command.kind) {
      case 'append':
        this.client.append(command.segments);
        break;
      case 'replace':
        this.client.replace(command.tick, command.segments);
        break;
      case 'levels':
        this.client.setLevels(command.levels, command.gear);
        break;
      case 'tell':
        if (command.message.kind === 'arm') this.armed = command.message;
        this.client.send(command.message);
    }
  }

  private takeIn(event: PlaybackEvent): void {
    switch (event.kind) {
      case 'notice':
        if (event.text !== '') say(withoutKeys(event.text));
        break;
      case 'halted':
        this.silent();
        if (event.state === 'stopped' && this.quarrel === '') this.options.onStopped(this);
    }
  }

  private hear(message: ClientMessage): void {
    switch (message.kind) {
      case 'opened':
        // A successor is there, and silences before it obeys anything else.
        if (this.quarrel !== '') {
          this.end(exit.machine);
          return;
        }
        for (const reason of message.refused) say(reason);
        if (message.refused.length > 0 && message.out.kind === 'none') say(howToMend);
        say(`playing to: ${message.label}`);
        if (this.options.follow) this.client.listen(this.options.follow);
        break;
      case 'failed':
        this.quarrel = message.reasons.join('; ');
        this.end(exit.machine);
        return;
      case 'lateness':
        this.tellLateness(message.report);
        return;
      case 'listening':
        if (message.label === null) {
          this.quarrel = message.reason ?? 'the external clock cannot be received';
          this.end(exit.machine);
          return;
        }
        say(`waiting for the clock of: ${message.label}`);
        break;
      case 'following':
        if (message.state === 'locked') say('following the external clock');
        break;
      case 'died':
        this.quarrel = `the player process ended unexpectedly (${message.reason})`;
        setTimeout(() => this.end(exit.machine), successorMs);
    }
    this.go(
      heard(this.current, message.kind === 'opened' ? { ...message, refused: [] } : message, hrtimeMs()),
    );
  }

  /** Asks the player how late it was, and says so; a player that does not answer is not waited for. */
  private async askLateness(): Promise<void> {
    await new Promise<void>((resolve) => {
      const giveUp = setTimeout(resolve, 500);
      this.tellLateness = (report) => {
        clearTimeout(giveUp);
        say(latenessText(report));
        resolve();
      };
      this.client.send({ kind: 'lateness' });
    });
  }

  private lookAgain(): void {
    if (this.timer) clearTimeout(this.timer);
    this.timer = null;
    const beat = nextBeatTime(this.current, this.looked);
    if (beat === null || this.status !== null) return;
    const wait = Math.min(mostLookMs, Math.max(leastLookMs, beat - hrtimeMs() + 1));
    this.timer = setTimeout(() => {
      this.looked = hrtimeMs();
      this.go(clock(this.current, this.looked));
    }, wait);
  }

  /** Prints the bar that has just begun. */
  private printBar(): void {
    const { performance } = this.current;
    if (!performance || performance.cursor.beat === null) return;
    const { counting, pass, bar } = performance.cursor;
    const here = `${counting} ${pass} ${bar}`;
    if (here === this.printed) return;
    this.printed = here;
    print(counting ? 'count-in' : this.options.barText(performance, pass, bar));
  }
}
