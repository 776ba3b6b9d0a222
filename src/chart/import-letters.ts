import { jsonText } from '../base/json.js';
import { bareText, quoted } from '../base/safe-text.js';
import { parseChord, toNumber } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { parseMeter } from './change.js';
import { type Meter, meterText, type Place } from './chart.js';
import type { Fault } from './fault.js';
import { type BeatenChord, barsOfBeats, isBeats } from './letter-beats.js';
import { mostWords } from './limits.js';
import { SectionNames } from './section-names.js';
import { meterName, mostInBar, mostWithDots, neededDots, sharesEvenly } from './shares.js';

/** What a letter sheet is brought in with. */
export interface LetterSheetOptions {
  readonly title: string;
  readonly key: Key;
  readonly keyText: string;
  readonly tempoText: string;
  readonly meterText: string;
  /** Whether lines that are not chords are words to sing, and left out. */
  readonly skipWords: boolean;
  /** Whether they are kept instead, as words of the lines of chords beside them. */
  readonly keepWords?: boolean;
}

/** A chart's text, the lines that were left out, how lines were read where they leave it open, and what could not be read. */
export interface LetterSheet {
  readonly text: string;
  readonly skipped: readonly number[];
  readonly remarks: readonly { readonly place: Place; readonly message: string }[];
  readonly faults: readonly Fault[];
}

/**
 * Turns a plain sheet of chords in letters into a chart's text, in numbers. A line is a phrase. With `|` in it
 * the bars are what stands between, otherwise each chord is a bar. A slash or a dot is a further beat of the
 * chord before, where beats fill bars: `A / D /`. How lines without bar lines were read is told. `Name:` alone on a line, or `[Name]`, begins
 * a section; `x2` at a line's end repeats the line. Chords that do not share their bar evenly
 * get dots, which is said. Whatever else there is is told, not guessed at. Words that are kept are those of
 * the line of chords above them, as sheets mostly have it; in a section that begins with words, of the line below.
 */
export function importLetters(sheet: string, options: LetterSheetOptions): LetterSheet {
  const sections: LetterSection[] = [];
  const faults: Fault[] = [];
  const skipped: number[] = [];
  const remarks: { place: Place; message: string }[] = [];
  const told = new Set<string>();
  const read = parseMeter(options.meterText);
  const meter: Meter = read.ok ? read.value : { beats: 4, unit: 4 };
  const names = new SectionNames();
  sheet.split(/\r?\n/).forEach((raw, index) => {
    const line = raw.trim();
    if (line === '') return;
    const heading = headingOf(line);
    if (heading !== null) {
      sections.push(letterSection(names.next(heading)));
      return;
    }
    const read = readLine(raw, index + 1, { key: options.key, meter }, sections.at(-1)?.hasBars ?? false);
    if (read.faults.length > 0) {
      const words = bareText(line.replace(/\s+/g, ' '));
      if (options.keepWords && words !== '' && words.length <= mostWords) {
        if (sections.length === 0) sections.push(letterSection(names.next('A')));
        keepWords(sections.at(-1) as LetterSection, words, index + 1);
      } else if (options.skipWords || options.keepWords) skipped.push(index + 1);
      else for (const fault of read.faults) faults.push(fault);
      return;
    }
    if (read.said !== null && !told.has(read.said)) {
      told.add(read.said);
      remarks.push({ place: { line: index + 1, column: 1 }, message: read.said });
    }
    if (sections.length === 0) sections.push(letterSection(names.next('A')));
    const section = sections.at(-1) as LetterSection;
    section.lines.push(read.text);
    section.hasBars = true;
    section.waiting = [];
    remarks.push(...read.remarks);
  });
  const filled = sections.filter(({ hasBars }) => hasBars);
  for (const { waiting } of sections) skipped.push(...waiting);
  for (const section of filled) section.lines.splice(section.lines.length - section.waiting.length);
  skipped.sort((one, other) => one - other);
  if (filled.length === 0 && faults.length === 0) {
    faults.push({
      line: 1,
      column: 1,
      severity: 'error',
      message: 'no line of chords was found; a line is chords in letters: A A D E',
    });
  }
  return { text: chartText(filled, options), skipped, remarks, faults };
}

/** A section while it is put together. */
interface LetterSection {
  readonly name: string;
  readonly lines: string[];
  hasBars: boolean;
  /** Whether it began with words: then words belong to the chords below them. */
  wordsFirst: boolean;
  /** The lines, from 1, of words that still wait for their chords. */
  waiting: number[];
}

function letterSection(name: string): LetterSection {
  return { name, lines: [], hasBars: false, wordsFirst: false, waiting: [] };
}

function keepWords(section: LetterSection, words: string, line: number): void {
  if (section.lines.length === 0) section.wordsFirst = true;
  if (section.wordsFirst) {
    section.lines.push(`> ${words}`);
    section.waiting.push(line);
  } else section.lines.splice(section.lines.length - 1, 0, `> ${words}`);
}

function headingOf(line: string): string | null {
  const match = /^\[(.{1,30})\]:?$|^([^|]{1,30}):$/u.exec(line);
  return match ? (match[1] ?? match[2] ?? '').trim() : null;
}

/** What a line's chords are read with. */
interface Holding {
  readonly key: Key;
  readonly meter: Meter;
}

/** A line as a chart's text, how it was read where it has no bar lines, what is said of its bars, and what is wrong with it. */
interface ReadLine {
  readonly text: string;
  readonly said: string | null;
  readonly remarks: readonly { readonly place: Place; readonly message: string }[];
  readonly faults: Fault[];
}

function readLine(raw: string, line: number, { key, meter }: Holding, follows: boolean): ReadLine {
  const remarks: { place: Place; message: string }[] = [];
  const faults: Fault[] = [];
  const repeat = /\sx(\d{1,2})\s*$/.exec(raw);
  const body = repeat ? raw.slice(0, repeat.index) : raw;
  const barred = body.includes('|');
  const bars: string[] = [];
  let said: string | null = null;
  let column = 1;
  let last: string | null = null;
  for (const piece of barred ? body.split('|') : [body]) {
    const words = [...piece.matchAll(/\S+/g)];
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
          `${quoted(word[0])} is a further beat of a chord, and there is none before it`,
        );
      else {
        const alone = words.length === 1 || !(barred || beaten);
        const chord = readWord(word[0], key, alone, follows || bars.length > 0 || (!barred && place > 0));
        if (chord.text === null)
          fault(
            column + word.index,
            `${chord.message}; if this line is words to sing, leave them out with --skip-words, or keep them with --keep-words`,
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
        `${chords.length} chords have no room in a bar of ${meterName(meter)}; at most ${mostWithDots(meter)}, or as many on each beat`,
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
        bars.push(...filled.texts);
        if (!barred)
          said = `there are no bar lines: slashes and dots are read as beats, ${filled.perBar} to a bar of ${meterText(meter)}; where that is otherwise, put | between the bars`;
      }
    } else if (barred && chords.length > 0) bars.push(sharedBar(written));
    else if (!barred) {
      bars.push(...chords.map(({ text }) => text));
      if (chords.length > 1)
        said =
          'there are no bar lines: each chord is read as a bar; where chords share one, put | between the bars, or write a slash for each further beat: A / D /';
    }
    column += piece.length + 1;
  }
  const times = Number(repeat?.[1] ?? 2);
  if (times < 2)
    faults.push({
      line,
      column: 1,
      severity: 'error',
      message: `“x${times}” repeats nothing; a line is played twice or more often`,
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
  if (word === '%' || word === '=') {
    if (!alone) return { text: null, message: `${quoted(word)} repeats a whole bar; it cannot share one` };
    return follows
      ? { text: '=', message: '' }
      : { text: null, message: `${quoted(word)} repeats the bar before, and there is none` };
  }
  const chord = parseChord(word);
  if (chord.ok) return { text: numberText(toNumber(chord.value, key)), message: '' };
  return { text: null, message: chord.fault.message };
}

function chartText(
  sections: readonly { name: string; lines: readonly string[] }[],
  options: LetterSheetOptions,
): string {
  const head = [
    `title: ${jsonText(options.title)}`,
    `key: ${options.keyText}`,
    `tempo: ${options.tempoText}`,
    `meter: ${options.meterText}`,
  ];
  const body = sections.flatMap(({ name, lines }) => [`  ${name}: |`, ...lines.map((line) => `    ${line}`)]);
  return `${[...head, `form: ${sections.map((section) => section.name).join(', ')}`, 'sections:', ...body].join('\n')}\n`;
}
