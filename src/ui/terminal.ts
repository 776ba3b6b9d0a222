import { spawnSync } from 'node:child_process';
import { writeSync } from 'node:fs';

/** Alternate screen on, cleared, cursor away. */
const enterScreen = '\u001b[?1049h\u001b[2J\u001b[H\u001b[?25l';
/** Styles off, cursor shown, alternate screen off. */
export const leaveScreen = '\u001b[0m\u001b[?25h\u001b[?1049l';

/**
 * The terminal while the program has it: the alternate screen and the line settings, put back once on
 * whatever way out comes first.
 */
export class Terminal {
  private held = false;
  /** The line settings as `stty -g` wrote them before anything was changed; empty when they cannot be read. */
  readonly modes: string;

  constructor(private readonly descriptor = 1) {
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
    this.write(enterScreen);
  }

  giveBack(): void {
    if (!this.held) return;
    this.held = false;
    this.write(leaveScreen);
    if (process.stdin.isTTY) {
      try {
        process.stdin.setRawMode(false);
      } catch {
        // The terminal has gone; there is nothing to put back.
      }
    }
  }

  private write(text: string): void {
    try {
      writeSync(this.descriptor, text);
    } catch {
      // The terminal has gone (a closed window): nobody is left to see it.
    }
  }
}
