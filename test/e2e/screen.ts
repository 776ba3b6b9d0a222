import { execFileSync } from 'node:child_process';
import { pause, until } from './harness.js';

/** A real terminal multiplexer with one program on its screen. */
export class Screen {
  private readonly socket = `barkline-${process.pid}-${Math.random().toString(36).slice(2)}`;

  /** Starts a shell command on a screen of this size. The screen stays when the command has ended. */
  constructor(columns: number, rows: number, command: string, env: NodeJS.ProcessEnv) {
    execFileSync(
      'tmux',
      [
        '-L',
        this.socket,
        '-f',
        '/dev/null',
        'new-session',
        '-d',
        '-x',
        String(columns),
        '-y',
        String(rows),
        `${command}; echo "ended $?"; stty -a > ${env.STTY_AFTER ?? '/dev/null'}; exec sleep 600`,
      ],
      { env },
    );
    this.tmux('set-option', '-g', 'remain-on-exit', 'on');
  }

  /** What the screen shows, line by line, without trailing spaces. */
  lines(): string[] {
    return this.tmux('capture-pane', '-p')
      .split('\n')
      .map((line) => line.trimEnd());
  }

  /** What the screen shows, with its colours and weights as codes. */
  styled(): string {
    return this.tmux('capture-pane', '-p', '-e');
  }

  text(): string {
    return this.lines().join('\n');
  }

  async press(...keys: string[]): Promise<void> {
    for (const key of keys) {
      this.tmux('send-keys', key);
      await pause(60);
    }
  }

  /** What is drawn inverted, line by line: what is under the cursor. */
  inverted(): readonly string[] {
    const lines = this.tmux('capture-pane', '-p', '-e').split('\n');
    // tmux writes the attributes that begin as codes of their own, and ends all with 0 or those that are off.
    return lines.flatMap((line) => {
      let on = false;
      let text = '';
      for (const [, codes, shown = ''] of line.matchAll(/(?:\u001b\[([\d;]*)m|^)([^\u001b]*)/g)) {
        for (const code of (codes ?? '').split(';')) {
          if (code === '7') on = true;
          else if (codes !== undefined && ['', '0', '27'].includes(code)) on = false;
        }
        text += on ? shown : shown === '' ? '' : '\n';
      }
      return text.split('\n').filter((one) => one.trim() !== '');
    });
  }

  /** Types a text as it is. */
  type(text: string): void {
    this.tmux('send-keys', '-l', '--', text);
  }

  /** Waits until the screen shows a text; answers the screen then, and throws with it when it never does. */
  async shows(wanted: string | RegExp, ms = 10_000): Promise<string> {
    const fits = (): boolean =>
      typeof wanted === 'string' ? this.text().includes(wanted) : wanted.test(this.text());
    if (!(await until(fits, ms)))
      throw new Error(`the screen never showed ${wanted}; it shows:\n${this.text()}`);
    return this.text();
  }

  resize(columns: number, rows: number): void {
    this.tmux('resize-window', '-x', String(columns), '-y', String(rows));
  }

  /** The process that runs in the terminal: the shell's child. */
  programPid(): number {
    const shell = this.tmux('display-message', '-p', '#{pane_pid}').trim();
    return Number(execFileSync('pgrep', ['-P', shell, 'node'], { encoding: 'utf8' }).trim().split('\n')[0]);
  }

  /** The line settings of the terminal now. */
  modes(): string {
    const tty = this.tmux('display-message', '-p', '#{pane_tty}').trim();
    return execFileSync('stty', ['-F', tty, '-a'], { encoding: 'utf8' });
  }

  /** Whether the alternate screen is on, and whether the cursor is shown. */
  state(): { alternate: boolean; cursor: boolean } {
    const [alternate, cursor] = this.tmux('display-message', '-p', '#{alternate_on} #{cursor_flag}')
      .trim()
      .split(' ');
    return { alternate: alternate === '1', cursor: cursor === '1' };
  }

  close(): void {
    try {
      this.tmux('kill-server');
    } catch {
      // It had ended already.
    }
  }

  private tmux(...words: string[]): string {
    return execFileSync('tmux', ['-L', this.socket, ...words], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'pipe'],
    });
  }
}
