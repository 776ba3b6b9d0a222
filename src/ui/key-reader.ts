import { EventEmitter } from 'node:events';

/** The part of a terminal's input stream that is used. */
export interface KeyStream {
  readonly isTTY?: boolean;
  setRawMode?(on: boolean): unknown;
  setEncoding(encoding: 'utf8'): unknown;
  ref(): unknown;
  unref(): unknown;
  on(event: 'data', listener: (data: string) => void): unknown;
  off(event: 'data', listener: (data: string) => void): unknown;
}

/** One key press as a terminal sends it: an escape sequence, or a character. */
const onePress = /\u001b(?:\[[0-9;]*[ -/]*[@-~]|O[ -~]|[^[O\u001b]?)|[\s\S]/gu;

/** The longest that keys wait for the components of a frame, ms: some frames have none that would say so. */
const longestHoldMs = 80;

/**
 * Stands between the terminal and Ink: hands over key presses one at a time, each in a turn of its own. Presses
 * that arrive together, from a fast hand or a slow line, would otherwise reach Ink as one word, and its lists
 * with the state from before the first of them.
 */
export class KeyReader extends EventEmitter {
  private readonly waiting: string[] = [];
  private next: string | null = null;
  private turning = false;
  private held: NodeJS.Timeout | null = null;

  constructor(private readonly stream: KeyStream) {
    super();
    stream.setEncoding('utf8');
    stream.on('data', this.take);
  }

  get isTTY(): boolean {
    return this.stream.isTTY === true;
  }

  setRawMode(on: boolean): this {
    this.stream.setRawMode?.(on);
    return this;
  }

  setEncoding(): this {
    return this;
  }

  ref(): this {
    this.stream.ref();
    return this;
  }

  unref(): this {
    this.stream.unref();
    return this;
  }

  /** The press whose turn it is, once; `null` until the next one's. */
  read(): string | null {
    const press = this.next;
    this.next = null;
    return press;
  }

  /**
   * A frame was drawn whose components do not listen yet: React lets them a while after it is seen. What is pressed until
   * `release`, or a little later, waits for them.
   */
  readonly hold = (): void => {
    if (this.held) clearTimeout(this.held);
    this.held = setTimeout(this.release, longestHoldMs);
    this.held.unref();
  };

  /** The components of the last frame listen. */
  readonly release = (): void => {
    if (this.held) clearTimeout(this.held);
    this.held = null;
    setImmediate(() => this.turn());
  };

  /** Takes nothing more from the terminal. */
  close(): void {
    this.stream.off('data', this.take);
    this.waiting.length = 0;
  }

  private readonly take = (data: string): void => {
    this.waiting.push(...(data.match(onePress) ?? []));
    this.turn();
  };

  private turn(): void {
    if (this.turning || this.held || this.waiting.length === 0) return;
    this.turning = true;
    this.next = this.waiting.shift() ?? null;
    this.emit('readable');
    // React renews its listeners in a turn after the one in which it draws.
    setImmediate(() =>
      setImmediate(() => {
        this.turning = false;
        this.turn();
      }),
    );
  }
}
