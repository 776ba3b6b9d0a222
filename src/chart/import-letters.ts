import { jsonText } from '../base/json.js';
import { bareText, quoted } from '../base/safe-text.js';
import type { Key } from '../theory/key.js';
import { parseMeter } from './change.js';
import type { Meter, Place } from './chart.js';
import type { Fault } from './fault.js';
import { areHeadings, headedLine, headingOf, headLine, loneLetters, titleRow } from './letter-headings.js';
import { isChordLine, readLine } from './letter-line.js';
import { LetterRepeats } from './letter-repeats.js';
import { mostWords } from './limits.js';
import { SectionNames } from './section-names.js';

/** What a letter sheet is imported with. */
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
 * chord before, where beats fill bars: `A / D /`. How lines without bar lines were read is reported. `Name:` alone on a line, `[Name]`, or `Verse` and its kind, begins
 * a section; `x2` at a line's end repeats the line. With bar lines `|: :|` repeats, `:| x3` and endings too. Chords that do not share their bar evenly
 * get dots, which is reported. Whatever else there is is reported, not guessed at. Words that are kept are those of
 * the line of chords above them, as sheets mostly have it; where they stand above each line of chords, of the line below. A first
 * line of words with a blank line after it is a title, and left out with the words.
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
        message: '“|:” has no “:|” after it in its section; write :| where the repeat ends',
      });
  };
  const rows = sheet.split(/\r?\n/);
  const title = titleRow(rows);
  const lone = loneLetters(rows);
  const lettersHead = areHeadings(rows, lone);
  const remark = (message: string): void =>
    void remarks.push({ place: { line: number, column: 1 }, message });
  rows.forEach((row, index) => {
    let raw = row;
    number = index + 1;
    const line = raw.trim();
    if (line === '') return;
    const isLone = lone.includes(index);
    const heading = isLone && lettersHead ? line : headingOf(line);
    if (heading !== null) {
      end();
      begin(heading);
      if (isLone && lettersHead)
        remark(
          `${quoted(line)} is read as a section’s heading; if it is a chord, put | around it: | ${line} |`,
        );
      return;
    }
    if (isLone) remark(`${quoted(line)} is read as a chord; a section’s heading has a colon: “${line}:”`);
    const says = sections.some(({ hasBars }) => hasBars) ? null : headLine(line);
    if (says) {
      remark(`the ${says.what} is not taken from the sheet; the command’s flag gives it: ${says.flag}`);
      return;
    }
    const headed = headedLine(row);
    if (headed) {
      end();
      begin(headed.name);
      // Places count in the line as written.
      raw = ' '.repeat(headed.from) + row.slice(headed.from);
    }
    const section = sections.at(-1) ?? begin('A');
    const { repeats } = section;
    const read = readLine(raw, number, { key: options.key, meter, repeats }, section.hasBars);
    // One by one: a line can have more of them than a call takes arguments.
    if (read.faults.length > 0 && isChordLine(raw)) for (const fault of read.faults) faults.push(fault);
    else if (read.faults.length > 0) {
      const words = bareText(line.replace(/\s+/g, ' '));
      if (index === title && (options.keepWords || options.skipWords)) {
        const gives = `--title ${jsonText(words)} gives it to the chart`;
        remarks.push({
          place: { line: number, column: 1 },
          message: `read as the title, and left out; ${gives}`,
        });
      } else if (options.keepWords && words !== '' && words.length <= mostWords)
        section.entries.push({ text: `> ${words}`, words: number });
      else if (options.skipWords || options.keepWords) skipped.push(index + 1);
      else for (const fault of read.faults) faults.push(fault);
    }
    if (read.faults.length > 0) return;
    if (read.said !== null && !told.has(read.said)) {
      told.add(read.said);
      remarks.push({ place: { line: index + 1, column: 1 }, message: read.said });
    }
    if (!raw.includes('|')) repeats.bar([]);
    section.entries.push({ text: read.text, words: null });
    section.hasBars = true;
    for (const remark of read.remarks) remarks.push(remark);
  });
  end();
  const filled = sections
    .filter(({ hasBars }) => hasBars)
    .map(({ name, entries }) => ({ name, ...placed(entries) }));
  for (const { left } of filled) for (const line of left) skipped.push(line);
  for (const { hasBars, entries } of sections)
    if (!hasBars) for (const { words } of entries) if (words !== null) skipped.push(words);
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

/** A line of a section: bars, or words with the number of their line, from 1. */
interface Entry {
  readonly text: string;
  readonly words: number | null;
}

/** A section while it is put together. */
interface LetterSection {
  readonly name: string;
  readonly entries: Entry[];
  hasBars: boolean;
  readonly repeats: LetterRepeats;
}

function letterSection(name: string, line: () => number): LetterSection {
  const entries: Entry[] = [];
  const putBehind = (text: string): void => {
    const at = entries.findLastIndex(({ words }) => words === null);
    const entry = entries[at];
    if (entry) entries[at] = { ...entry, text: entry.text + text };
  };
  return { name, entries, hasBars: false, repeats: new LetterRepeats(line, putBehind) };
}

/**
 * A section's lines in a chart, and the lines, from 1, of words that have no chords. Words are those of the line of chords above
 * them; where a section begins with words and ends with chords, and each line of chords has words above it or only the first
 * does, of the line below.
 */
function placed(entries: readonly Entry[]): {
  readonly lines: readonly string[];
  readonly left: readonly number[];
} {
  const isBars = (entry: Entry | undefined): boolean => entry?.words === null;
  const first = entries.findIndex(isBars);
  const rest = entries.slice(first + 1);
  const precede = entries.every((entry, at) => !isBars(entry) || (at > 0 && !isBars(entries[at - 1])));
  const below = first > 0 && isBars(entries.at(-1)) && (precede || rest.every(isBars));
  const lines: string[] = [];
  for (const [at, { text, words }] of entries.entries())
    if (words === null || below) lines.push(text);
    else if (at > first) lines.splice(lines.length - 1, 0, text);
  return { lines, left: below ? [] : entries.slice(0, first).flatMap(({ words }) => words ?? []) };
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
