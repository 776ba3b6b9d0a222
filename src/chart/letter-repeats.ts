import type { Place } from './chart.js';
import { otherEnding } from './other-writings.js';

/** A sign of repeats in a line of letters: a repeat's beginning or end, an ending, or a double bar line. */
export type RepeatMark =
  | { readonly kind: 'open'; readonly column: number }
  | { readonly kind: 'double'; readonly column: number }
  | { readonly kind: 'close'; readonly times: number; readonly column: number }
  | { readonly kind: 'ending'; readonly label: string; readonly column: number };

/** What stands between two bar lines, where it begins, and the signs of repeats before it. */
export interface Piece {
  readonly text: string;
  readonly column: number;
  readonly marks: readonly RepeatMark[];
}

const barLine = /:?\|+\]?:?/g;
const endingText = /^(?:\s*\[\s*(\S+)|\s*([1-9][\d,&-]*[.)])|([1-9]))(?=\s|$)/;

/** The pieces of a line with bar lines. Signs after the last of them come before a piece without text. */
export function piecesOf(body: string): Piece[] {
  const lines = [...body.matchAll(barLine)];
  const pieces: Piece[] = [];
  let from = 0;
  let hasEnding = false;
  let marks: RepeatMark[] = [];
  for (const at of [...lines, null]) {
    let text = body.slice(from, at?.index ?? body.length);
    let column = from + 1;
    const cut = (length: number): void => {
      text = text.slice(length);
      column += length;
    };
    const before = marks.at(-1);
    const times = before?.kind === 'close' ? /^\s*\(?x(\d{1,2})\)?(?=\s|$)/.exec(text) : null;
    if (before?.kind === 'close' && times) {
      marks[marks.length - 1] = { ...before, times: Number(times[1]) };
      cut(times[0].length);
    }
    const ending = endingText.exec(text);
    const label = ending && otherEnding(ending[1] ?? ending[2] ?? ending[3] ?? '');
    if (ending && label) {
      marks.push({ kind: 'ending', label, column: column + ending[0].search(/\S/) });
      cut(ending[0].length);
      hasEnding = true;
    }
    // A bracket that closes an ending adds nothing to its bar line.
    if (hasEnding && !text.includes('[')) text = text.replace(/\]\s*$/, '');
    pieces.push({ text, column, marks });
    marks = [];
    if (!at) break;
    const sign = at[0];
    const place = at.index + 1;
    if (sign.startsWith(':')) marks.push({ kind: 'close', times: 2, column: place });
    if (sign.replace(/:/g, '').length > 1) marks.push({ kind: 'double', column: place });
    if (sign.endsWith(':')) marks.push({ kind: 'open', column: place });
    from = at.index + sign.length;
  }
  return pieces;
}

/**
 * The repeats of a section in letters, as its lines are read. Elsewhere a repeat ends within its endings, `|: A |1. D :|2. E |`;
 * in a chart it ends after the last of them, `|: 1 [1st 4 ] [2nd 5 ] :|`, so that its end waits for what follows.
 */
export class LetterRepeats {
  private opened: Place | null = null;
  private hasBar = false;
  private ending: 'first' | 'later' | null = null;
  private waits = false;

  /** @param line the number of the line that is read now, from 1; @param last puts something after the section's last line. */
  constructor(
    private readonly line: () => number,
    private readonly last: (text: string) => void,
  ) {}

  /** Whether a repeat was begun and not ended. */
  get isOpen(): boolean {
    return this.opened !== null;
  }

  /** Takes a sign into the bars that were read of its line; answers what is wrong with it, or `null`. */
  take(mark: RepeatMark, bars: string[]): string | null {
    if (mark.kind === 'double') {
      this.lineEnds(bars);
      return null;
    }
    if (mark.kind === 'ending') return this.beginEnding(mark.label, bars);
    if (mark.kind === 'open') {
      this.settle(bars);
      if (this.opened) return '“|:” is inside another repeat; write :| where that one ends';
      this.opened = { line: this.line(), column: mark.column };
      this.hasBar = false;
      bars.push('|:');
      return null;
    }
    if (!this.opened) return '“:|” has no “|:” before it in its section; write |: where the repeat begins';
    if (!this.hasBar) return 'there is no bar before “:|”; write the bars to repeat before it: |: A | D :|';
    if (mark.times < 2) return `“x${mark.times}” does not repeat anything; write x2 or more`;
    if (this.ending) {
      bars.push(']');
      this.ending = null;
      this.waits = true;
    } else if (this.waits) return 'there is no bar between “:|” and “:|”; write one of them';
    else {
      bars.push(`:|${mark.times === 2 ? '' : ` x${mark.times}`}`);
      this.opened = null;
    }
    return null;
  }

  /** Reports that a bar is read next. */
  bar(bars: string[]): void {
    if (this.waits) this.settle(bars);
    this.hasBar = true;
  }

  /** An ending that is not the first goes to its line's end, or to a double bar line. */
  lineEnds(bars: string[]): void {
    if (this.ending !== 'later' || !this.hasBar) return;
    bars.push(']');
    this.ending = null;
    this.waits = true;
  }

  /** Writes the end of a repeat that waited for another ending. */
  settle(bars: string[]): void {
    if (!this.waits) return;
    if (bars.length > 0) bars.push(':|');
    else this.last(' :|');
    this.waits = false;
    this.opened = null;
  }

  /** Ends the section; answers where a repeat begins that has no end, or `null`. */
  end(): Place | null {
    this.settle([]);
    return this.opened;
  }

  private beginEnding(label: string, bars: string[]): string | null {
    if (!this.opened)
      return 'an ending belongs to a repeat; write |: where the repeat begins: |: A | D |1. E :|2. A |';
    if (!this.hasBar) return 'there is no bar before this ending; write the bars to repeat before it';
    if (this.ending) bars.push(']');
    this.ending = this.waits || this.ending ? 'later' : 'first';
    this.waits = false;
    this.hasBar = false;
    bars.push(`[${label}`);
    return null;
  }
}
