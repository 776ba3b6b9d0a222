import type { Rgb } from './state/look.js';

/** Asks a terminal for its background (xterm's "Change VT100 text background color", OSC 11, with `?`; ended as xterm's documentation allows). */
export const backgroundQuestion = '\u001b]11;?\u001b\\';

/*
 * A terminal's answer: the introducer, the number, the colour, the end. Introducer and end may be one byte (C1), which is a
 * character of its own in UTF-8, or, where the byte came bare, the replacement character. Where the escape came so long
 * before the rest that it was taken for a key, the rest is still not taken for keys.
 */
const introducer = '(?:\\u001b\\]|[\\u009d\\ufffd]|\\])';
const colour = 'rgba?:[\\da-f]{1,4}(?:/[\\da-f]{1,4}){2,3}';
const answer = new RegExp(`${introducer}(1[0-9]);(${colour})(?:\\u0007|\\u001b\\\\|[\\u009c\\ufffd])`, 'iu');
/** The beginning of one whose end may come with the next bytes; a bare bracket is a key until it is more than that. */
const begun =
  /(?:(?:\u001b\]|[\u009d\ufffd])(?:1(?:[0-9](?:;(?:r(?:g(?:b(?:a?(?::[\da-f/]{0,24}\u001b?)?)?)?)?)?)?)?)?|\]1[0-9];r(?:g(?:b(?:a?(?::[\da-f/]{0,24}\u001b?)?)?)?)?)$/iu;
/** Enough of one that it cannot be keys, whatever comes or does not come. */
const sure = /^(?:\u001b\]|[\u009d\ufffd]|\])1[0-9];r/iu;

/** What a terminal sent, without its answers. */
export interface Sent {
  readonly keys: string;
  /** The backgrounds that were reported, as the terminal wrote them. */
  readonly answers: readonly string[];
  /** The beginning of an answer at the end; empty where there is none. */
  readonly unfinished: string;
}

/** Takes the answers out of what a terminal sent. */
export function withoutAnswers(text: string): Sent {
  const answers: string[] = [];
  let keys = '';
  let rest = text;
  for (let found = answer.exec(rest); found; found = answer.exec(rest)) {
    const [, asked, told] = found;
    if (asked === '11') answers.push(told as string);
    keys += rest.slice(0, found.index);
    rest = rest.slice(found.index + found[0].length);
  }
  const unfinished = begun.exec(rest)?.[0] ?? '';
  return { keys: keys + rest.slice(0, rest.length - unfinished.length), answers, unfinished };
}

/** Whether the beginning of an answer can be nothing else: then it is dropped where no end comes. */
export function isSurelyAnswer(unfinished: string): boolean {
  return sure.test(unfinished);
}

/** A colour as X writes it (`rgb:ffff/ffff/dddd`, one to four hexadecimal digits a part); `null` where it is none. */
export function readColour(text: string): Rgb | null {
  const parts = /^rgba?:([\da-f]+)\/([\da-f]+)\/([\da-f]+)(?:\/[\da-f]+)?$/i.exec(text);
  if (!parts) return null;
  const [, red, green, blue] = parts.map((part) => Number.parseInt(part, 16) / (16 ** part.length - 1));
  return [red as number, green as number, blue as number];
}
