import { EventEmitter } from 'node:events';
import { isSurelyAnswer, withoutAnswers } from './terminal-answer.js';

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

/** Text that was pasted: its beginning, and whether there was more. */
export interface Pasted {
  readonly text: string;
  readonly more: boolean;
}

/** One key press as a terminal sends it: an escape sequence, or a character. */
const onePress = /\u001b(?:\[[0-9;]*[ -/]*[@-~]|O[ -~]|[^[O\u001b]?)|[\s\S]/gu;
/** The beginning of a sequence whose end comes with the next bytes. */
const begun = /\u001b\[[0-9;]*$/;
const escapeByte = '\u001b';
const pasteBegins = '\u001b[200~';
const pasteEnds = '\u001b[201~';

/** The longest that keys wait for the components of a frame, ms: some frames have none that report it. */
const longestHoldMs = 80;
/** Characters that are kept of what is pasted: more than a typed line has. */
const mostPasted = 400;
/** The most presses that wait: more at once do not come from a hand, but are text from a terminal that does not mark pasted text. */
const mostWaiting = 256;
/** A flood of presses is over when none came for this long, ms; so is a paste whose end never comes. */
const quietMs = 100;
const endlessMs = 1000;
/** The rest of a sequence comes within this many ms, or never; the rest of an answer over a slow line may take longer. */
const restMs = 20;
const answerRestMs = 1000;
/** While an answer is expected its first byte alone is the Escape key only after this many ms. */
const escapeRestMs = 50;

/**
 * Is between the terminal and Ink: passes on key presses one at a time, each in a turn of its own. Presses
 * that arrive together, from a fast hand or a slow line, would otherwise reach Ink as one word, and its lists
 * with the state from before the first of them.
 *
 * Pasted text does not count as presses: it is reported by `paste` (`Pasted`). More presses at once than anybody can type
 * are all dropped until none come for a moment; `flood` reports it once. Nor are answers to what the terminal was asked presses, however
 * late and in whatever parts they come: `answer` tells the text of each.
 */
export class KeyReader extends EventEmitter {
  private readonly waiting: (string | Pasted)[] = [];
  private next: string | null = null;
  private turning = false;
  private held: NodeJS.Timeout | null = null;
  private timer: NodeJS.Timeout | null = null;
  private flooded = false;
  /** What was pasted so far; `null` outside a paste. */
  private pasted: string | null = null;
  private more = false;
  /** The end of the last bytes, where it is only the beginning of a sequence. */
  private tail = '';
  private expecting: NodeJS.Timeout | null = null;

  constructor(private readonly stream: KeyStream) {
    super();
    stream.setEncoding('utf8');
    stream.on('data', this.take);
  }

  get isTTY(): boolean {
    return this.stream.isTTY === true;
  }

  /** Switches raw mode on. Switching it off is left to `Terminal`, since it may have to wait. */
  setRawMode(on: boolean): this {
    if (on) this.stream.setRawMode?.(on);
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

  /** The terminal was asked something: within this many ms an escape at the end of what it sent may be its answer's first byte. */
  expectAnswer(ms: number): void {
    if (this.expecting) clearTimeout(this.expecting);
    this.expecting = setTimeout(() => {
      this.expecting = null;
    }, ms);
    this.expecting.unref();
  }

  /** Takes nothing more from the terminal. */
  close(): void {
    this.stream.off('data', this.take);
    this.waiting.length = 0;
    this.wait(null, 0);
    this.answered();
  }

  private answered(): void {
    if (this.expecting) clearTimeout(this.expecting);
    this.expecting = null;
  }

  private readonly take = (data: string): void => {
    // Escape was a key of its own, where no answer follows.
    if (this.tail === escapeByte && this.pasted === null && !data.startsWith(']')) this.takeTail();
    let rest = this.tail + data;
    this.tail = '';
    this.wait(null, 0);
    while (rest !== '') {
      if (this.pasted !== null) {
        rest = this.takePasted(this.pasted, rest);
        continue;
      }
      const at = rest.indexOf(pasteBegins);
      this.takePresses(at < 0 ? rest : rest.slice(0, at), at < 0);
      if (at < 0) break;
      this.pasted = '';
      this.more = false;
      rest = rest.slice(at + pasteBegins.length);
    }
    if (this.pasted !== null) this.wait(() => this.endLost(), endlessMs);
    else if (this.flooded) this.wait(() => this.endFlood(), quietMs);
    else if (this.tail !== '') this.wait(() => this.takeTail(), this.restOf(this.tail));
    this.turn();
  };

  /** How long is waited for the rest of what has begun, ms. */
  private restOf(tail: string): number {
    return tail === escapeByte ? escapeRestMs : isSurelyAnswer(tail) ? answerRestMs : restMs;
  }

  private takePresses(sent: string, isLast: boolean): void {
    const { keys, answers, unfinished } = withoutAnswers(sent);
    for (const answer of answers) {
      this.answered();
      this.emit('answer', answer);
    }
    const text = unfinished === '' || isLast || isSurelyAnswer(unfinished) ? keys : keys + unfinished;
    // Before a paste nothing more comes of what has begun.
    const rest = isLast && unfinished === '' ? this.begunIn(text) : '';
    this.tail = isLast ? unfinished || rest : '';
    const presses = text.slice(0, text.length - rest.length).match(onePress) ?? [];
    if (!this.flooded && this.waiting.length + presses.length > mostWaiting) {
      this.flooded = true;
      this.emit('flood');
    }
    if (this.flooded) this.waiting.length = 0;
    else this.waiting.push(...presses);
  }

  private begunIn(text: string): string {
    const sequence = begun.exec(text)?.[0] ?? '';
    return sequence === '' && this.expecting && text.endsWith(escapeByte) ? escapeByte : sequence;
  }

  /** The sequence was never finished: its characters are presses after all, unless they can only be an answer. */
  private takeTail(): void {
    if (isSurelyAnswer(this.tail)) this.tail = '';
    this.waiting.push(...(this.tail.match(onePress) ?? []));
    this.tail = '';
    this.turn();
  }

  private endFlood(): void {
    this.flooded = false;
    this.tail = '';
  }

  /** Takes what belongs to the paste; returns what comes after it. */
  private takePasted(before: string, text: string): string {
    const at = text.indexOf(pasteEnds);
    if (at < 0) {
      // The end may have come in part.
      const last = text.lastIndexOf('\u001b');
      this.tail = last >= 0 && pasteEnds.startsWith(text.slice(last)) ? text.slice(last) : '';
      this.keep(before, text.slice(0, text.length - this.tail.length));
      return '';
    }
    this.keep(before, text.slice(0, at));
    this.endPaste('');
    return text.slice(at + pasteEnds.length);
  }

  private keep(before: string, text: string): void {
    const room = mostPasted - before.length;
    if (text.length > room) this.more = true;
    this.pasted = before + text.slice(0, room);
  }

  /** The end of the paste was lost. */
  private endLost(): void {
    this.endPaste(this.tail);
    this.turn();
  }

  private endPaste(tail: string): void {
    const text = (this.pasted ?? '') + tail;
    this.pasted = null;
    this.tail = '';
    // In its turn: a key before it may have opened the line that it belongs to.
    this.waiting.push({ text, more: this.more });
  }

  /** Waits for more bytes, or no longer. */
  private wait(then: (() => void) | null, ms: number): void {
    if (this.timer) clearTimeout(this.timer);
    this.timer = then && setTimeout(then, ms);
    this.timer?.unref();
  }

  private turn(): void {
    if (this.turning || this.held || this.waiting.length === 0) return;
    this.turning = true;
    const next = this.waiting.shift() ?? null;
    if (next === null || typeof next === 'string') {
      this.next = next;
      this.emit('readable');
    } else this.emit('paste', next);
    // React renews its listeners in a turn after the one in which it draws.
    setImmediate(() =>
      setImmediate(() => {
        this.turning = false;
        this.turn();
      }),
    );
  }
}
