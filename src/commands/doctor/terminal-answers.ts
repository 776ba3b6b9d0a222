import type { Rgb } from '../../ui/state/look.js';
import { readColour, withoutAnswers } from '../../ui/terminal-answer.js';

/** Where a terminal’s cursor is, as it answers DSR 6 (CPR, ECMA-48 8.3.14): row and column from 1. The introducer may be one byte. */
const place = /(?:\u001b\[|[\u009b\ufffd])(\d{1,5});(\d{1,5})R/g;
/** Ctrl-C, as a terminal in raw mode sends it. */
const interrupt = '\u0003';

/** What a terminal has answered so far. */
export interface Answered {
  readonly background: Rgb | null;
  /** Columns that each sign took, in the order in which they were written at the line's start. */
  readonly widths: readonly number[];
  /** Whether Ctrl-C was pressed. */
  readonly interrupted: boolean;
}

/** Asks for the cursor's place. */
const placeQuestion = '\u001b[6n';

/** What is written for the widths of signs: each at the start of the line, with the question after it; the line is empty afterwards. */
export function widthQuestions(signs: readonly string[]): string {
  return signs.length === 0 ? '' : `${signs.map((sign) => `\r${sign}${placeQuestion}`).join('')}\r\u001b[K`;
}

/** Reads all that a terminal sent since it was asked: answers among keys, in whatever pieces they came. */
export function readAnswered(sent: string): Answered {
  const { keys, answers } = withoutAnswers(sent);
  const [told] = answers;
  return {
    background: told === undefined ? null : readColour(told),
    widths: [...keys.matchAll(place)].map(([, , column]) => Number(column) - 1),
    interrupted: keys.includes(interrupt),
  };
}
