import type { LibraryItem } from './state/library.js';

/** How long to read at a stretch, ms: between stretches keys are handled, and the music is drawn. */
const stretchMs = 8;
/** Between two stretches, ms. */
const pauseMs = 3;
/** How often to report what was read, ms: each report sorts and draws the list again. */
const toldMs = 150;

/** What files are read with: a clock and timers, the system's or a test's. */
export interface ReadingRim {
  /** Reads a file; answers what a list shows of it. */
  readonly read: (file: string) => LibraryItem;
  /** Items were read. */
  readonly told: (items: readonly LibraryItem[]) => void;
  /** All that was asked for was read. */
  readonly done: () => void;
  readonly now: () => number;
  readonly setTimer: (callback: () => void, ms: number) => unknown;
  readonly clearTimer: (timer: unknown) => void;
}

/** Reads the files of lists bit by bit beside everything else, those first that were asked for last. */
export class ItemReader {
  private waiting: string[] = [];
  private read: LibraryItem[] = [];
  private toldAt = 0;
  private timer: unknown = null;

  constructor(private readonly rim: ReadingRim) {}

  /** Files are to be read; what is waiting already is read after them. */
  ask(files: readonly string[]): void {
    const now = new Set(files);
    this.waiting = [...files, ...this.waiting.filter((file) => !now.has(file))];
    if (this.timer !== null) return;
    this.toldAt = this.rim.now();
    this.wait();
  }

  /** Stops reading; `done` is called as after the last file. */
  stop(): void {
    if (this.timer === null) return;
    this.rim.clearTimer(this.timer);
    this.timer = null;
    this.rim.done();
  }

  private wait(): void {
    this.timer = this.rim.setTimer(() => this.go(), pauseMs);
  }

  private go(): void {
    const begun = this.rim.now();
    let at = 0;
    do this.read.push(this.rim.read(this.waiting[at++] as string));
    while (at < this.waiting.length && this.rim.now() - begun < stretchMs);
    this.waiting = this.waiting.slice(at);
    const isOver = this.waiting.length === 0;
    if (isOver || this.rim.now() - this.toldAt >= toldMs) {
      this.rim.told(this.read.splice(0));
      this.toldAt = this.rim.now();
    }
    this.timer = null;
    if (isOver) this.rim.done();
    else this.wait();
  }
}
