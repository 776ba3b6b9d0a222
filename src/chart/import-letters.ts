import { jsonText } from '../base/json.js';
import { bareText } from '../base/safe-text.js';
import type { Key } from '../theory/key.js';
import { parseMeter } from './change.js';
import type { Meter, Place } from './chart.js';
import type { Fault } from './fault.js';
import { isChordLine, readLine } from './letter-line.js';
import { LetterRepeats } from './letter-repeats.js';
import { mostWords } from './limits.js';
import { SectionNames } from './section-names.js';

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
 * a section; `x2` at a line's end repeats the line. With bar lines `|: :|` repeats, `:| x3` and endings too. Chords that do not share their bar evenly
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
  /** The line that is read now, from 1. */
  let number = 0;
  const begin = (name: string): LetterSection => {
    const section = letterSection(names.next(name), () => number);
    sections.push(section);
    return section;
  };
  const end = (): void => {
    const place = sections.at(-1)?.repeats.end();
    if (place)
      faults.push({
        ...place,
        severity: 'error',
        message: '“|:” has no “:|” behind it in its section; write :| where the repeat ends',
      });
  };
  sheet.split(/\r?\n/).forEach((raw, index) => {
    number = index + 1;
    const line = raw.trim();
    if (line === '') return;
    const heading = headingOf(line);
    if (heading !== null) {
      end();
      begin(heading);
      return;
    }
    const section = sections.at(-1) ?? begin('A');
    const { repeats } = section;
    const read = readLine(raw, number, { key: options.key, meter, repeats }, section.hasBars);
    if (read.faults.length > 0 && isChordLine(raw)) faults.push(...read.faults);
    else if (read.faults.length > 0) {
      const words = bareText(line.replace(/\s+/g, ' '));
      if (options.keepWords && words !== '' && words.length <= mostWords) keepWords(section, words, number);
      else if (options.skipWords || options.keepWords) skipped.push(index + 1);
      else for (const fault of read.faults) faults.push(fault);
    }
    if (read.faults.length > 0) return;
    if (read.said !== null && !told.has(read.said)) {
      told.add(read.said);
      remarks.push({ place: { line: index + 1, column: 1 }, message: read.said });
    }
    if (!raw.includes('|')) repeats.bar([]);
    section.lines.push(read.text);
    section.hasBars = true;
    section.waiting = [];
    remarks.push(...read.remarks);
  });
  end();
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
  readonly repeats: LetterRepeats;
}

function letterSection(name: string, line: () => number): LetterSection {
  const lines: string[] = [];
  const putBehind = (text: string): void => {
    const at = lines.findLastIndex((one) => !one.startsWith('> '));
    if (at >= 0) lines[at] += text;
  };
  const repeats = new LetterRepeats(line, putBehind);
  return { name, lines, hasBars: false, wordsFirst: false, waiting: [], repeats };
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
