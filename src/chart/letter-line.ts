import { quoted } from '../base/safe-text.js';
import { parseChord, toNumber } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { type Meter, meterText, type Place } from './chart.js';
import type { Fault } from './fault.js';
import { type BeatenChord, barsOfBeats, isBeats } from './letter-beats.js';
import { type LetterRepeats, piecesOf } from './letter-repeats.js';
import { chordsInWords, isOtherChord, otherLetters } from './other-letters.js';
import { meterName, mostInBar, mostWithDots, neededDots, sharesEvenly } from './shares.js';

/** What a line's chords are read with. */
export interface Holding {
  readonly key: Key;
  readonly meter: Meter;
  /** The repeats of the section that the line is in. */
  readonly repeats: LetterRepeats;
}

/** A line as a chart's text, how it was read where it has no bar lines, what is said of its bars, and what is wrong with it. */
export interface ReadLine {
  readonly text: string;
  readonly said: string | null;
  readonly remarks: readonly { readonly place: Place; readonly message: string }[];
  readonly faults: Fault[];
}

/**
 * Reads a line of chords in letters.
 *
 * @param line its number, from 1
 * @param follows whether bars come before it in its section
 */
export function readLine(
  raw: string,
  line: number,
  { key, meter, repeats }: Holding,
  follows: boolean,
): ReadLine {
  const remarks: { place: Place; message: string }[] = [];
  const faults: Fault[] = [];
  const inWords = raw.includes('|') ? null : chordsInWords(raw);
  if (inWords !== null) {
    const column = raw.indexOf('[') + 1;
    return { text: '', said: null, remarks, faults: [{ line, column, severity: 'error', message: inWords }] };
  }
  const trailing = /\s(?:x(\d{1,2})|\(x(\d{1,2})\)|\((\d{1,2})x\))\s*$/.exec(raw);
  // After a repeat's end it says how often that is played.
  const repeat =
    trailing && /[|\]]\s*$/.test(raw.slice(0, trailing.index)) && raw.includes(':|') ? null : trailing;
  const body = repeat ? raw.slice(0, repeat.index) : raw;
  const barred = body.includes('|');
  const bars: string[] = [];
  const ofChords = isChordLine(raw);
  let said: string | null = null;
  let last: string | null = null;
  const pieces = barred ? piecesOf(body) : [{ text: body, column: 1, marks: [] }];
  for (const piece of pieces) {
    for (const mark of piece.marks) {
      const wrong = repeats.take(mark, bars);
      if (wrong) faults.push({ line, column: mark.column, severity: 'error', message: wrong });
    }
    const { column } = piece;
    const words = [...piece.text.matchAll(/\S+/g)];
    if (barred && words.length > 0) repeats.bar(bars);
    const beaten = words.some((word) => isBeats(word[0]));
    const start = column + (words[0]?.index ?? 0);
    const fault = (at: number, message: string): void =>
      void faults.push({ line, column: at, severity: 'error', message });
    const chords: BeatenChord[] = [];
    words.forEach((word, place) => {
      const before = chords.at(-1);
      if (isBeats(word[0]) && before)
        chords[chords.length - 1] = { ...before, beats: before.beats + word[0].length };
      else if (isBeats(word[0]) && last !== null) chords.push({ text: last, beats: word[0].length });
      else if (isBeats(word[0]))
        fault(
          column + word.index,
          `${quoted(word[0])} is a further beat of a chord, but there is no chord before it`,
        );
      else {
        const alone = words.length === 1 || !(barred || beaten);
        const chord = readWord(word[0], key, alone, follows || bars.length > 0 || (!barred && place > 0));
        if (chord.text === null)
          fault(
            column + word.index,
            ofChords
              ? chord.message
              : `${chord.message}; if this line is lyrics, leave it out with --skip-words, or keep it with --keep-words`,
          );
        chords.push({ text: chord.text ?? '', beats: 1 });
      }
    });
    last = chords.at(-1)?.text ?? last;
    const place = { line, column: start };
    const dots = barred && !beaten ? neededDots(chords.length, meter) : null;
    if (barred && chords.length > mostInBar)
      fault(start, `${chords.length} chords in one bar; at most ${mostInBar}`);
    else if (barred && !beaten && !dots && chords.length > 1 && !sharesEvenly(chords.length, meter))
      fault(
        start,
        `${chords.length} chords do not fit in a bar of ${meterName(meter)}; write at most ${mostWithDots(meter)}, or the same number on each beat`,
      );
    const written = chords.map(({ text }, at) => text + '.'.repeat(dots?.[at] ?? 0));
    if (dots && !written.some((chord) => chord.startsWith('.')))
      remarks.push({
        place,
        message: `${chords.length} chords do not share a bar of ${meterName(meter)} evenly; they are written (${written.join(' ')})`,
      });
    if (beaten && faults.length === 0) {
      const filled = barsOfBeats(chords, meter, barred ? 1 : null);
      if ('message' in filled) fault(start, filled.message);
      else {
        for (const text of filled.texts) bars.push(text);
        if (!barred)
          said = `there are no bar lines, so slashes and dots are read as beats, ${filled.perBar} to a bar of ${meterText(meter)}; if that is wrong, put | between the bars`;
      }
    } else if (barred && chords.length > 0) bars.push(sharedBar(written));
    else if (!barred) {
      for (const { text } of chords) bars.push(text);
      if (chords.length > 1)
        said =
          'there are no bar lines, so each chord is read as a bar; if chords share a bar, put | between the bars, or write a slash for each further beat: A / D /';
    }
  }
  if (barred) repeats.lineEnds(bars);
  const times = Number(repeat?.slice(1).find((one) => one !== undefined) ?? 2);
  if (times < 2)
    faults.push({
      line,
      column: 1,
      severity: 'error',
      message: `“x${times}” does not repeat anything; write x2 or more to repeat a line`,
    });
  if (repeat && repeats.isOpen)
    faults.push({
      line,
      column: 1,
      severity: 'error',
      message: `“x${times}” repeats a line that is inside a repeat; write the line out ${times} times`,
    });
  if (bars.length === 0 && faults.length === 0)
    faults.push({ line, column: 1, severity: 'error', message: 'this line has no chord' });
  const text = bars.join(' ');
  return { text: repeat ? `|: ${text} :|${times === 2 ? '' : ` x${times}`}` : text, said, remarks, faults };
}

function sharedBar(chords: readonly string[]): string {
  return chords.length === 1 ? (chords[0] ?? '') : `(${chords.join(' ')})`;
}

function readWord(
  word: string,
  key: Key,
  alone: boolean,
  follows: boolean,
): { text: string; message: '' } | { text: null; message: string } {
  if (/^n\.?c\.?$/i.test(word)) return { text: 'nc', message: '' };
  if (/^(?:[%=𝄎]|\.?\/\.)$/u.test(word)) {
    if (!alone)
      return { text: null, message: `${quoted(word)} repeats a whole bar; it cannot be part of a bar` };
    return follows
      ? { text: '=', message: '' }
      : { text: null, message: `${quoted(word)} repeats the bar before it, but there is none` };
  }
  const chord = parseChord(word);
  if (chord.ok) return { text: numberText(toNumber(chord.value, key)), message: '' };
  return { text: null, message: otherLetters(word, key) ?? chord.fault.message };
}

/** Whether a line is one of chords, so that what cannot be read of it is never taken for words: it has bar lines, or most of its words are chords. */
export function isChordLine(raw: string): boolean {
  if (raw.includes('|') || chordsInWords(raw) !== null) return true;
  const words = raw.split(/\s+/).filter((word) => word !== '');
  const chords = words.filter(isLikeChord);
  return 2 * chords.length > words.length;
}

function isLikeChord(word: string): boolean {
  if (isBeats(word) || /^(?:n\.?c\.?|%|\(?(?:x\d{1,2}|\d{1,2}x)\)?)$/i.test(word) || parseChord(word).ok)
    return true;
  return isOtherChord(word);
}
