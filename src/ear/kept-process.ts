import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { Answering, lookMs } from '../player/answering.js';
import { hrtimeMs } from '../player/host.js';
import type { EarPong, FromEar, ToEar } from './messages.js';

/** More deaths than this within a minute, and no new process is started. */
const mostDeaths = 5;
/** How long a process may take to leave before it is made to, ms. */
const leaveMs = 1000;

/** What happens to the ear's process. */
export interface KeptProcessEvents {
  /** It says something; signs of life apart. */
  readonly onMessage: (message: Exclude<FromEar, { kind: 'ready' }>) => void;
  /** It died, and why; `again`: another has taken its place, which knows nothing yet. */
  readonly onDied: (reason: string, again: boolean) => void;
}

/**
 * The ear's process, which is replaced when it dies or no longer answers. Nothing here waits for it, throws for it, or
 * writes to the terminal.
 */
export class KeptProcess {
  private child: ChildProcess | null = null;
  private leaving = false;
  private deaths: number[] = [];
  private answering = new Answering();
  /** Why it is being ended from here, when it is. */
  private ended: string | null = null;
  private readonly looker: NodeJS.Timeout;

  constructor(private readonly events: KeptProcessEvents) {
    this.start();
    this.looker = setInterval(() => this.look(), lookMs);
    this.looker.unref();
  }

  send(message: ToEar): void {
    if (!this.child?.connected) return;
    if (message.kind === 'open' || message.kind === 'list') this.answering.asked();
    try {
      this.child.send(message, () => {});
    } catch {
      // It died this moment; its exit is dealt with where it is noticed.
    }
  }

  /** Ends it; resolves when it has gone, after 1.5 s at most. */
  quit(): Promise<void> {
    this.leaving = true;
    clearInterval(this.looker);
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
    return new Promise((resolve) => {
      const force = setTimeout(() => child.kill('SIGKILL'), leaveMs);
      // Even a process that cannot be ended, such as one that waits for a broken device, delays nobody.
      const giveUp = setTimeout(resolve, 1.5 * leaveMs);
      child.once('exit', () => {
        clearTimeout(force);
        clearTimeout(giveUp);
        resolve();
      });
      this.send({ kind: 'quit' });
    });
  }

  /** Asks for a sign of life; a process that has given none for long is ended, so that another takes its place. */
  private look(): void {
    const { child } = this;
    if (!child || this.leaving || this.ended !== null) return;
    if (this.answering.look(hrtimeMs())) {
      this.ended = 'it stopped answering';
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
    if (!this.leaving) this.events.onMessage(message);
  }

  private died(child: ChildProcess, reason: string): void {
    if (this.leaving || this.child !== child) return;
    const now = hrtimeMs();
    this.deaths = [...this.deaths.filter((time) => now - time < 60_000), now];
    const again = this.deaths.length <= mostDeaths;
    this.child = null;
    if (again) this.start();
    this.events.onDied(reason, again);
  }
}
