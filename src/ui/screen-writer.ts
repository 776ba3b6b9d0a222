import { EventEmitter } from 'node:events';
import { safeStyled } from '../base/safe-text.js';
import { type Canvas, canvasMark } from './canvas.js';

/** The part of a terminal's output stream that is used. */
export interface TerminalStream {
  readonly columns: number;
  readonly rows: number;
  write(text: string): boolean;
  on(event: 'resize' | 'drain', listener: () => void): unknown;
  off(event: 'resize' | 'drain', listener: () => void): unknown;
}

/** The largest size that is drawn, whatever the terminal reports: the work grows with it. */
export const mostSize = { columns: 400, rows: 150 } as const;
/** A terminal that does not tell its size has the usual one. */
const usualSize = { columns: 80, rows: 24 } as const;

/**
 * Stands between Ink and the terminal: takes whole frames, and sends only the lines that changed, each to
 * its own place. Ink's own incremental drawing (6.8) counts one line too few when a frame ends in a
 * newline, and its plain drawing sends everything. A terminal that is slower than the music gets the
 * latest frame when it can take one, and none of those between.
 *
 * This is the last door before the screen: of a line's control characters only styles pass.
 */
export class ScreenWriter extends EventEmitter implements Canvas {
  readonly isTTY = true;
  private shown: string[] = [];
  private frame: string | null = null;
  private lines: readonly string[] = [];
  private full = false;
  private uncleared = false;
  private away = false;
  private closed = false;

  constructor(private readonly terminal: TerminalStream) {
    super();
    terminal.on('resize', this.resized);
    terminal.on('drain', this.drained);
  }

  get columns(): number {
    return Math.min(mostSize.columns, this.terminal.columns || usualSize.columns);
  }

  get rows(): number {
    return Math.min(mostSize.rows, this.terminal.rows || usualSize.rows);
  }

  /** Takes a frame. What Ink writes besides, to show or hide the cursor, is dropped: the terminal's keeper does that. */
  write(frame: string): boolean {
    if (this.closed || /^(?:\u001b\[\?25[hl])*$/.test(frame)) return true;
    this.frame = frame;
    if (!this.full) this.draw();
    this.emit('frame');
    return true;
  }

  put(lines: readonly string[]): void {
    this.lines = lines;
  }

  flush(): void {
    if (!this.full && !this.closed) this.draw();
  }

  /** Draws everything again at the next frame: the screen may hold anything now. */
  forget(): void {
    this.shown = [];
    if (this.closed) return;
    // A terminal that does not read is cleared when it does.
    this.uncleared = true;
    if (!this.full) this.draw();
  }

  /** Draws nothing until `comeBack`: the shell has the terminal. */
  stepAside(): void {
    this.away = true;
  }

  /** Draws everything again. What the terminal had not taken yet was dropped meanwhile. */
  comeBack(): void {
    this.away = false;
    this.full = false;
    this.forget();
  }

  /** Nothing more is drawn. */
  close(): void {
    this.closed = true;
    this.terminal.off('resize', this.resized);
    this.terminal.off('drain', this.drained);
  }

  private readonly resized = (): void => {
    this.forget();
    this.emit('resize');
  };

  private readonly drained = (): void => {
    this.full = false;
    if (!this.closed) this.draw();
  };

  private draw(): void {
    if (this.frame === null || this.away) return;
    const lines = this.frame
      .split('\n')
      .flatMap((line) => (line === canvasMark ? this.lines : [line]))
      .slice(0, this.rows);
    let out = this.uncleared ? '\u001b[2J' : '';
    this.uncleared = false;
    for (let row = 0; row < Math.max(lines.length, this.shown.length); row += 1) {
      const line = lines[row] ?? '';
      if (line === this.shown[row]) continue;
      out += `\u001b[${row + 1};1H${safeStyled(line)}\u001b[0m\u001b[K`;
    }
    this.shown = lines;
    if (out !== '') this.send(out);
  }

  private send(text: string): void {
    this.full = !this.terminal.write(text);
  }
}
