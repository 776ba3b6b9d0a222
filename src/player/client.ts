import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { eventSize } from '../time/event.js';
import type { Segment } from '../time/segment.js';
import { Answering, lookMs } from './answering.js';
import { hrtimeMs } from './host.js';
import type { FromPlayer, InSpec, OutSpec, Pong, ToPlayer } from './messages.js';

/** What a client tells its owner: the player's messages, and that one died and another took its place. */
export type ClientMessage = FromPlayer | { readonly kind: 'died'; readonly reason: string };

/** How the terminal is put back if this process vanishes: stty's words, and what to write to the screen. */
export interface TerminalRestore {
  readonly descriptor: number;
  readonly modes: string;
  readonly screen: string;
}

/** More deaths than this within a minute, and no new player is started. */
const mostDeaths = 5;
/** How long a player may take to leave before it is made to, ms. */
const leaveMs = 1500;
/** How long the player that silences what another left may take to open its outputs, and then to leave, ms. */
const silenceMs = 2000;
const silencedMs = 500;
/** What a player may take long over, and what it says when that is done. */
const slow: ReadonlySet<ToPlayer['kind']> = new Set(['open', 'list', 'listen']);
const slowDone: ReadonlySet<FromPlayer['kind']> = new Set(['opened', 'failed', 'destinations', 'listening']);

/** The parent's end of the player: starts it, talks to it, and starts another when it dies. */
export class PlayerClient {
  private child: ChildProcess | null = null;
  private leaving = false;
  /** The player that runs is only there to end what another left sounding. */
  private silencing = false;
  /** What a new player is told first: the outputs, the levels, what is listened to. */
  private opened: Extract<ToPlayer, { kind: 'open' }> | null = null;
  private levels: Extract<ToPlayer, { kind: 'levels' }> | null = null;
  private listensTo: InSpec | null = null;
  private pedalsFrom: readonly InSpec[] | 'all' | null = null;
  private readonly keys = new Set<number>();
  private deaths: number[] = [];
  private errors = '';
  private restoring = false;
  private answering = new Answering();
  /** Whether the player has said anything yet: one that has just been started may have much to read first. */
  private spoke = false;
  private readonly looker: NodeJS.Timeout;
  /** Why the player is being ended from here, when it is. */
  private ended: string | null = null;

  constructor(
    private readonly onMessage: (message: ClientMessage) => void,
    private readonly terminal: TerminalRestore | null = null,
  ) {
    this.start();
    this.looker = setInterval(() => this.look(), lookMs);
    this.looker.unref();
  }

  /** Opens an output; with several, the first that can be opened. A new player opens the same. */
  open(outs: readonly OutSpec[], also: readonly OutSpec[] = []): void {
    this.opened = { kind: 'open', outs, also };
    this.send(this.opened);
  }

  /** How loud each voice is, in percent, by its number, and for gear where that differs. A new player is told the same. */
  setLevels(levels: readonly number[], gear?: readonly number[]): void {
    this.levels = { kind: 'levels', levels, ...(gear ? { gear } : {}) };
    this.send(this.levels);
  }

  /** Follows an external clock, or none. A new player does the same. */
  listen(to: InSpec | null): void {
    this.listensTo = to;
    this.send({ kind: 'listen', to });
  }

  /** Listens for pedals, on every source or only there. A new player does the same. */
  hearPedals(from: readonly InSpec[] | 'all' | null): void {
    this.pedalsFrom = from;
    this.send({ kind: 'pedals', from });
  }

  append(segments: readonly Segment[]): void {
    this.remember(segments);
    if (segments.length > 0) this.send({ kind: 'append', segments });
  }

  replace(tick: number, segments: readonly Segment[]): void {
    this.remember(segments);
    this.send({ kind: 'replace', tick, segments });
  }

  /** Sends any other message. A player that is just being replaced loses it; its state says so. */
  send(message: ToPlayer): void {
    if (!this.child?.connected) return;
    if (slow.has(message.kind)) this.answering.asked();
    try {
      this.child.send(message, () => {});
    } catch {
      // It died this moment; its exit is dealt with where it is noticed.
    }
  }

  /** Tells the player whether the terminal must be put back, should this process vanish. */
  guardTerminal(on: boolean): void {
    this.restoring = on;
    if (!this.terminal) return;
    const { modes, screen } = this.terminal;
    this.send(on ? { kind: 'terminal', modes, screen } : { kind: 'terminal', modes: '', screen: '' });
  }

  /**
   * Silences and ends the player; resolves when it has gone. One that does not leave is made to, and what it left sounding is
   * ended by another: all within four seconds, or six when it was only just started.
   */
  async quit(): Promise<void> {
    this.leaving = true;
    clearInterval(this.looker);
    const { child } = this;
    if (!child || child.exitCode !== null) return;
    const ms = this.spoke ? leaveMs : silenceMs + leaveMs;
    if ((await this.leave(child, ms)) === null && this.opened && this.keys.size > 0) await this.silenceLeft();
  }

  /** Ends the player at once: for a program that exits now and left nothing sounding. */
  kill(): void {
    this.leaving = true;
    this.child?.kill('SIGKILL');
  }

  /** Asks a player to leave, and makes it after `ms`; returns its exit status, `null` when it ended by a signal. */
  private leave(child: ChildProcess, ms: number): Promise<number | null> {
    return new Promise((resolve) => {
      if (child.exitCode !== null || child.signalCode !== null) {
        resolve(child.exitCode);
        return;
      }
      const force = setTimeout(() => child.kill('SIGKILL'), ms);
      child.once('exit', (code) => {
        clearTimeout(force);
        resolve(code);
      });
      this.send({ kind: 'quit' });
      // If the message does not arrive, this makes the player leave.
      // Not soon: what a new player has not read by then is lost to it, and with it what it was to silence.
      if (child.connected) setTimeout(() => child.connected && child.disconnect(), 0.7 * ms).unref();
    });
  }

  /** Another player opens the same outputs, ends what may sound there, and leaves. */
  private async silenceLeft(): Promise<void> {
    this.silencing = true;
    const child = this.start();
    await new Promise<void>((resolve) => {
      const giveUp = setTimeout(resolve, silenceMs);
      child.once('exit', resolve);
      child.on('message', ({ kind }: FromPlayer) => {
        if (kind !== 'opened' && kind !== 'failed') return;
        clearTimeout(giveUp);
        resolve();
      });
      if (this.opened) this.send(this.opened);
      this.send({ kind: 'silence', notes: [...this.keys] });
    });
    await this.leave(child, silencedMs);
  }

  /** Asks for a sign of life; a player that has given none for long is ended, so that another takes its place. */
  private look(): void {
    const { child } = this;
    if (!child || this.leaving || this.ended !== null) return;
    if (this.answering.look(hrtimeMs())) {
      this.ended = 'it stopped answering';
      child.kill('SIGKILL');
    } else this.send({ kind: 'ping' });
  }

  private start(): ChildProcess {
    const terminal = this.terminal ? [this.terminal.descriptor] : [];
    const child = fork(fileURLToPath(new URL('./process.js', import.meta.url)), [String(process.pid)], {
      // A session of its own, so that Ctrl-C in a cooked terminal does not end it before it has silenced what sounds.
      detached: true,
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'pipe', 'ipc', ...terminal],
      execArgv: [],
    });
    this.child = child;
    this.answering = new Answering();
    this.spoke = false;
    this.ended = null;
    this.errors = '';
    // Whatever native code prints is drained and kept off the screen; its end is reported if the player dies.
    child.stderr?.on('data', (data: Buffer) => {
      this.errors = (this.errors + data.toString('utf8')).slice(-4000);
    });
    child.on('message', (message) => {
      if (this.child === child) this.hear(message as FromPlayer | Pong);
    });
    child.on('error', () => {});
    child.on('exit', (code, signal) => this.died(child, this.ended ?? signal ?? `exit status ${code}`));
    return child;
  }

  private hear(message: FromPlayer | Pong): void {
    this.answering.heard();
    this.spoke = true;
    if (message.kind === 'pong') return;
    if (slowDone.has(message.kind)) this.answering.done();
    // The player that silences notes at the end is not one that the owner knows of.
    if (!this.silencing) this.onMessage(message);
  }

  private died(child: ChildProcess, reason: string): void {
    if (this.leaving || this.child !== child) return;
    const now = Date.now();
    this.deaths = [...this.deaths.filter((time) => now - time < 60_000), now];
    if (this.deaths.length > mostDeaths) {
      this.child = null;
      this.onMessage({ kind: 'died', reason: `${reason}; it keeps failing and will not be started again` });
      return;
    }
    this.start();
    this.guardTerminal(this.restoring);
    if (this.opened) this.send(this.opened);
    if (this.levels) this.send(this.levels);
    if (this.listensTo) this.send({ kind: 'listen', to: this.listensTo });
    if (this.pedalsFrom !== null) this.send({ kind: 'pedals', from: this.pedalsFrom });
    this.send({ kind: 'silence', notes: [...this.keys] });
    this.onMessage({ kind: 'died', reason });
  }

  /** Keeps which notes may sound, in case a player dies and leaves them. */
  private remember(segments: readonly Segment[]): void {
    for (const { events } of segments) {
      for (let at = 0; at < events.length; at += eventSize) {
        const message = events[at + 2] as number;
        this.keys.add(((message & 0x0f) << 7) | ((message >> 8) & 0x7f));
      }
    }
  }
}
