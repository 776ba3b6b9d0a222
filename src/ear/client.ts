import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { CourseToTune } from '../listen/tuning-ear.js';
import { Answering, lookMs } from '../player/answering.js';
import { hrtimeMs } from '../player/host.js';
import type { EarPong, EarSpec, FromEar, SoundAhead, ToEar } from './messages.js';

/** How an ear is opened. */
export interface EarOptions {
  /** Where it listens at once; `null`: nowhere, it is only to list microphones or to be told later. */
  readonly from: EarSpec | null;
  /** A WAV file that what is heard is written to; nothing is written without it. */
  readonly keep?: string | null;
  /** What it hears and what is wrong with it. `died`: its process ended and another took its place, or none does any more. */
  readonly onMessage: (message: EarMessage) => void;
}

/** What an ear tells its owner: what its process says, and what becomes of that. Each `sentence` is one line: what, and what to do. */
export type EarMessage =
  | Exclude<FromEar, { kind: 'ready' }>
  | { readonly kind: 'died'; readonly sentence: string; readonly again: boolean };

/** The owner's end of an ear. Its process may stall or die; nothing here waits for it, throws for it, or writes to the terminal. */
export interface Ear {
  /** Listens there, in place of where it listened: `opened` or `failed` follows. */
  open(from: EarSpec, keep?: string | null): void;
  /** Listens no longer; the process stays. */
  close(): void;
  /** Asks for the microphones: `microphones` follows. */
  list(): void;
  /**
   * Own sounds that are going to be made, some hundred ms before they are due, to be taken out of what is heard: in place of all
   * that were announced from `from` on. Times by the clock of `hrtimeMs`. To be told anew after each `opened`.
   */
  announce(sounds: readonly SoundAhead[], from: number): void;
  /** How much later than they are due own sounds are heard, ms: from calibration. `null`: the ear finds it out. */
  setDelay(ms: number | null): void;
  /** Hears courses that are struck for tuning, as well; `null`: no longer. To be told after each `opened`. */
  tune(courses: readonly CourseToTune[] | null): void;
  /** Ends the process; resolves when it has gone, after 1.5 s at most. */
  quit(): Promise<void>;
}

/** More deaths than this within a minute, and no new process is started. */
const mostDeaths = 5;
/** How long a process may take to leave before it is made to, ms. */
const leaveMs = 1000;

/** Starts an ear: a process of its own that listens. */
export function openEar(options: EarOptions): Ear {
  return new EarClient(options);
}

class EarClient implements Ear {
  private child: ChildProcess | null = null;
  private leaving = false;
  private opened: Extract<ToEar, { kind: 'open' }> | null = null;
  private delay: number | null = null;
  private deaths: number[] = [];
  private answering = new Answering();
  private ended: string | null = null;
  private readonly looker: NodeJS.Timeout;
  private readonly onMessage: EarOptions['onMessage'];

  constructor({ from, keep = null, onMessage }: EarOptions) {
    this.onMessage = onMessage;
    this.start();
    this.looker = setInterval(() => this.look(), lookMs);
    this.looker.unref();
    if (from) this.open(from, keep);
  }

  open(from: EarSpec, keep: string | null = null): void {
    this.opened = { kind: 'open', from, keep };
    this.send(this.opened);
  }

  close(): void {
    this.opened = null;
    this.send({ kind: 'close' });
  }

  list(): void {
    this.send({ kind: 'list' });
  }

  announce(sounds: readonly SoundAhead[], from: number): void {
    this.send({ kind: 'ahead', from, sounds });
  }

  setDelay(ms: number | null): void {
    this.delay = ms;
    this.send({ kind: 'delay', ms });
  }

  tune(courses: readonly CourseToTune[] | null): void {
    this.send({ kind: 'courses', courses });
  }

  quit(): Promise<void> {
    this.leaving = true;
    clearInterval(this.looker);
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
    return new Promise((resolve) => {
      const force = setTimeout(() => child.kill('SIGKILL'), leaveMs);
      // Even a process that cannot be ended, as one that waits for a broken device, holds nobody up.
      const giveUp = setTimeout(resolve, 1.5 * leaveMs);
      child.once('exit', () => {
        clearTimeout(force);
        clearTimeout(giveUp);
        resolve();
      });
      this.send({ kind: 'quit' });
    });
  }

  private send(message: ToEar): void {
    if (!this.child?.connected) return;
    if (message.kind === 'open' || message.kind === 'list') this.answering.asked();
    try {
      this.child.send(message, () => {});
    } catch {
      // It died this moment; its exit is dealt with where it is noticed.
    }
  }

  /** Asks for a sign of life; a process that has given none for long is ended, so that another takes its place. */
  private look(): void {
    const { child } = this;
    if (!child || this.leaving || this.ended !== null) return;
    if (this.answering.look(hrtimeMs())) {
      this.ended = 'it no longer answered';
      child.kill('SIGKILL');
    } else this.send({ kind: 'ping' });
  }

  private start(): void {
    const child = fork(fileURLToPath(new URL('./process.js', import.meta.url)), [String(process.pid)], {
      // A session of its own: Ctrl-C in a cooked terminal is the parent's to deal with.
      detached: true,
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
      // Much is made and soon forgotten, little is kept: so the heap stays small.
      execArgv: ['--max-semi-space-size=1', '--max-old-space-size=96'],
    });
    this.child = child;
    this.answering = new Answering();
    this.ended = null;
    // Whatever native code prints about sound cards is drained and kept off the screen.
    child.stderr?.on('data', () => {});
    child.stderr?.on('error', () => {});
    child.on('message', (message) => {
      if (this.child === child) this.hear(message as FromEar | EarPong);
    });
    child.on('error', () => {});
    child.on('exit', (code, signal) => this.died(child, this.ended ?? signal ?? `exit status ${code}`));
  }

  private hear(message: FromEar | EarPong): void {
    this.answering.heard();
    if (message.kind === 'pong' || message.kind === 'ready') return;
    if (['opened', 'failed', 'microphones'].includes(message.kind)) this.answering.done();
    if (!this.leaving) this.onMessage(message);
  }

  private died(child: ChildProcess, reason: string): void {
    if (this.leaving || this.child !== child) return;
    const now = hrtimeMs();
    this.deaths = [...this.deaths.filter((time) => now - time < 60_000), now];
    const again = this.deaths.length <= mostDeaths;
    this.child = null;
    if (again) {
      this.start();
      if (this.delay !== null) this.send({ kind: 'delay', ms: this.delay });
      if (this.opened) this.send({ ...this.opened, again: true });
    }
    const what = `what listens to the microphone has died (${reason})`;
    const then = again
      ? 'it is started again, the music goes on'
      : 'it keeps failing and is not started again; choose another microphone';
    this.onMessage({ kind: 'died', sentence: `${what}; ${then}`, again });
  }
}
