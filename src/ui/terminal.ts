import { spawnSync } from 'node:child_process';
import { backgroundQuestion } from './terminal-answer.js';
import type { PatientWriter } from './tty-writer.js';

/** Alternate screen on, cleared, cursor away, pasted text marked as such. */
const enterScreen = '\u001b[?1049h\u001b[2J\u001b[H\u001b[?25l\u001b[?2004h';
/** Styles off, pasted text no longer marked, cursor shown, alternate screen off. */
export const leaveScreen = '\u001b[0m\u001b[?2004l\u001b[?25h\u001b[?1049l';

/** A terminal answers within this many ms, or the program goes on without; at the end it waits no longer than this. */
const answerMs = 100;

/** How long a terminal may take to be put back, ms: one that does not read is left as it is. */
const giveBackMs = 400;

/**
 * The terminal while the program has it: the alternate screen and the line settings, put back once on
 * whatever way out comes first.
 */
export class Terminal {
  private held = false;
  private asked: { readonly at: number; readonly told: Promise<void>; readonly tell: () => void } | null =
    null;
  /** The line settings as `stty -g` wrote them before anything was changed; empty when they cannot be read. */
  readonly modes: string;

  constructor(private readonly writer: PatientWriter) {
    const read = spawnSync('stty', ['-g'], {
      stdio: ['inherit', 'pipe', 'ignore'],
      encoding: 'utf8',
      timeout: 2000,
    });
    this.modes = read.status === 0 ? read.stdout.trim() : '';
  }

  take(): void {
    this.held = true;
    // Before anything is drawn: a key pressed at the first frame would otherwise be caught between two line disciplines.
    if (process.stdin.isTTY) process.stdin.setRawMode(true);
    this.writer.write(enterScreen);
  }

  /** Asks for the background; nothing waits for the answer, which comes among the keys. */
  askBackground(now: number): void {
    let tell = (): void => {};
    const told = new Promise<void>((resolve) => {
      tell = resolve;
    });
    this.asked = { at: now, told, tell };
    this.writer.write(backgroundQuestion);
  }

  /** The answer has come. */
  answered(): void {
    this.asked?.tell();
    this.asked = null;
  }

  /** Waits until the terminal has answered, or no answer can be expected any more: otherwise the shell would take the answer for a command. */
  async quiet(now: number): Promise<void> {
    const left = this.asked ? this.asked.at + answerMs - now : 0;
    if (!this.asked || left <= 0) return;
    const limit = new Promise<void>((resolve) => setTimeout(resolve, left));
    await Promise.race([this.asked.told, limit]);
  }

  /** Puts it back, and waits for it only this long. Returns whether the terminal has taken it. */
  async giveBack(): Promise<boolean> {
    if (!this.held) return true;
    this.held = false;
    // Nothing that was drawn is needed any more.
    this.writer.drop();
    this.writer.write(leaveScreen);
    const taken = await this.writer.taken(giveBackMs);
    // Setting the line waits on some systems until all output was read; Node sets it at the exit without that.
    if (taken && process.stdin.isTTY) process.stdin.setRawMode(false);
    return taken;
  }
}
