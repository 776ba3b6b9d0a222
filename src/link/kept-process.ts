import { type ChildProcess, fork } from 'node:child_process';
import { Answering, lookMs } from '../player/answering.js';
import { hrtimeMs } from '../player/host.js';

/** More deaths than this within a minute, and no new process is started. */
const mostDeaths = 5;
/** How long a process may take to leave before it is made to, ms. */
const leaveMs = 1000;

/** What a kept process is told by its owner. */
export interface ProcessOwner<From> {
  /** A message of the process; signs of life are not among them. */
  readonly onMessage: (message: From) => void;
  /** It died; `again`: another was started, which knows nothing yet. */
  readonly onDied: (reason: string, again: boolean) => void;
}

/**
 * A process of the program's own that is kept running: asked for a sign of life, replaced when it dies. Nothing here waits for it, throws for it, or lets
 * what it prints reach the terminal. It is to answer `{kind: 'ping'}` with `{kind: 'pong'}`, to leave at `{kind: 'quit'}` or when the channel closes, and to ignore the terminal (`ignore-terminal.ts`).
 */
export class KeptProcess<To extends { readonly kind: string }, From extends { readonly kind: string }> {
  private child: ChildProcess | null = null;
  private leaving = false;
  private deaths: number[] = [];
  private answering = new Answering();
  private ended: string | null = null;
  private readonly looker: NodeJS.Timeout;

  /**
   * @param file the compiled module that the process runs
   * @param megabytes how large its heap may become
   */
  constructor(
    private readonly file: string,
    private readonly megabytes: number,
    private readonly owner: ProcessOwner<From>,
  ) {
    this.start();
    this.looker = setInterval(() => this.look(), lookMs);
    this.looker.unref();
  }

  /** Sends a message; one that is just being replaced loses it. */
  send(message: To | { readonly kind: 'ping' } | { readonly kind: 'quit' }): void {
    if (!this.child?.connected) return;
    try {
      this.child.send(message, () => {});
    } catch {
      // It died this moment; its exit is dealt with where it is noticed.
    }
  }

  /** Ends the process; resolves when it has gone, after 1.5 s at most. */
  quit(): Promise<void> {
    this.leaving = true;
    clearInterval(this.looker);
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
    return new Promise((resolve) => {
      const force = setTimeout(() => child.kill('SIGKILL'), leaveMs);
      const giveUp = setTimeout(resolve, 1.5 * leaveMs);
      child.once('exit', () => {
        clearTimeout(force);
        clearTimeout(giveUp);
        resolve();
      });
      this.send({ kind: 'quit' });
    });
  }

  private look(): void {
    const { child } = this;
    if (!child || this.leaving || this.ended !== null) return;
    if (this.answering.look(hrtimeMs())) {
      this.ended = 'it stopped answering';
      child.kill('SIGKILL');
    } else this.send({ kind: 'ping' });
  }

  private start(): void {
    const child = fork(this.file, [String(process.pid)], {
      // No session of its own: Linux shares the processors out by session, and what passes the band's messages on would wait
      // behind all else that runs. What the terminal sends the group it ignores instead (`ignoreTerminal`).
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
      execArgv: [`--max-old-space-size=${this.megabytes}`],
    });
    this.child = child;
    this.answering = new Answering();
    this.ended = null;
    child.stderr?.on('data', () => {});
    child.stderr?.on('error', () => {});
    child.on('message', (message) => {
      if (this.child === child) this.hear(message as From);
    });
    child.on('error', () => {});
    child.on('exit', (code, signal) => this.died(child, this.ended ?? signal ?? `exit status ${code}`));
  }

  private hear(message: From): void {
    this.answering.heard();
    this.answering.done();
    if (message.kind !== 'pong' && message.kind !== 'ready' && !this.leaving) this.owner.onMessage(message);
  }

  private died(child: ChildProcess, reason: string): void {
    if (this.leaving || this.child !== child) return;
    const now = hrtimeMs();
    this.deaths = [...this.deaths.filter((time) => now - time < 60_000), now];
    const again = this.deaths.length <= mostDeaths;
    this.child = null;
    if (again) this.start();
    this.owner.onDied(reason, again);
  }
}
