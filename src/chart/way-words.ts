import { nearest } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import type { FormWay, WayMark } from './chart.js';

const marks: readonly WayMark[] = ['sign', 'to-coda', 'fine'];

/** The mark that a word after an `@` is; `null` for others. */
export function wayMark(word: string): WayMark | null {
  return marks.find((one) => one === word) ?? null;
}

/** What is meant by a word after an `@` that other notations use for a mark; otherwise `null`. */
export function meantMark(word: string): string | null {
  const found = quoted(`@${word}`);
  if (/^(?:segno|dal-?segno|signo)$/i.test(word)) return `${found} is written @sign here, before its bar`;
  if (/^(?:to-?coda|dacoda|al-?coda|tocoda.*)$/i.test(word))
    return `${found} is written @to-coda here, after the last bar before the jump`;
  if (/^coda$/i.test(word))
    return `${found} is not a mark: the coda is a section of its own; in the form its name follows the jump: from sign to coda, coda`;
  if (/^(?:end|ende|final)$/i.test(word))
    return `${found} is written @fine here, after the last bar of the song`;
  if (/^(?:d\.?[sc]\.?|dacapo|da-capo)$/i.test(word))
    return `${found} is not a mark but an entry of the form: from ${/^d\.?s/i.test(word) ? 'sign' : 'top'} to coda`;
  const near = nearest(word, marks);
  return near === null ? null : `${found} is not a mark; did you mean ${quoted(`@${near}`)}?`;
}

const formWord = /^from (sign|top)(?: to (coda|fine))?$/;

/** Whether an entry of a form is, or wants to be, a form word: no section is called so. */
export function looksLikeWay(name: string): boolean {
  return /^from\s/.test(name);
}

/** The form word that a text is, with one space between its words; `null` where it is none. */
export function readWay(text: string): FormWay | null {
  const [, from, to] = formWord.exec(text) ?? [];
  if (from === undefined) return null;
  return { from: from as FormWay['from'], to: (to as 'coda' | 'fine' | undefined) ?? null };
}

/** The form words, for a message about an unknown one. */
export const wayExamples =
  'from sign to coda, from top to coda, from sign to fine, from top to fine, from sign, from top';
