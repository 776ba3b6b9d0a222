import { jsonText } from '../base/json.js';
import { bareText, quoted } from '../base/safe-text.js';
import { parseChord, toNumber } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { numberText } from '../theory/number.js';
import { parseMeter } from './change.js';
import type { Meter, Place } from './chart.js';
import type { Fault } from './fault.js';
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

/** A chart's text, the lines that were left out, what was decided for whoever wrote the sheet, and what could not be read. */
export interface LetterSheet {
  readonly text: string;
  readonly skipped: readonly number[];
  readonly remarks: readonly { readonly place: Place; readonly message: string }[];
  readonly faults: readonly Fault[];
}

/**
 * Turns a plain sheet of chords in letters into a chart's text, in numbers. A line is a phrase. With `|` in it
 * the bars are what stands between, otherwise each chord is a bar. `Name:` alone on a line, or `[Name]`, begins
 * a section; `x2` at a line's end repeats the line. Chords that do not share their bar evenly get dots, which is said. Whatever
 * else there is is told, not guessed at. Words that are kept are those of
 * the line of chords above them, as sheets mostly have it; in a section that begins with words, of the line below.
 */
export function importLetters(sheet: string, options: LetterSheetOptions): LetterSheet {
  const sections: LetterSection[] = [];
  const faults: Fault[] = [];
  const skipped: number[] = [];
  const remarks: { place: Place; message: string }[] = [];
  const meter = parseMeter(options.meterText);
  const names = new SectionNames();
  sheet.split(/\r?\n/).forEach((raw, index) => {
    const line = raw.trim();
    if (line === '') return;
    const heading = headingOf(line);
    if (heading !== null) {
      sections.push(letterSection(names.next(heading)));
      return;
    }
    const read = readLine(
      raw,
      index + 1,
      { ...options, meter: meter.ok ? meter.value : usualMeter },
      sections.at(-1)?.hasBars ?? false,
    );
    if (read.faults.length > 0) {
      const words = bareText(line.replace(/\s+/g, ' '));
      if (options.keepWords && words !== '' && words.length <= mostWords) {
        if (sections.length === 0) sections.push(letterSection(names.next('A')));
        keepWords(sections.at(-1) as LetterSection, words, index + 1);
      } else if (options.skipWords || options.keepWords) skipped.push(index + 1);
      else for (const fault of read.faults) faults.push(fault);
      return;
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

const usualMeter: Meter = { beats: 4, unit: 4 };

function readLine(
  raw: string,
  line: number,
  { key, meter }: { readonly key: Key; readonly meter: Meter },
  follows: boolean,
): Pick<LetterSheet, 'text' | 'remarks'> & { faults: Fault[] } {
  const faults: Fault[] = [];
  const remarks: { place: Place; message: string }[] = [];
  const repeat = /\sx(\d{1,2})\s*$/.exec(raw);
  const body = repeat ? raw.slice(0, repeat.index) : raw;
  const barred = body.includes('|');
  const bars: string[][] = [];
  let column = 1;
  for (const piece of barred ? body.split('|') : [body]) {
    const words = [...piece.matchAll(/\S+/g)];
    const chords = words.map((word, place) => {
      const chord = readWord(
        word[0],
        key,
        words.length === 1 || !barred,
        follows || bars.length > 0 || (!barred && place > 0),
      );
      if (chord.text === null) {
        const message = `${chord.message}; if this line is words to sing, leave them out with --skip-words, or keep them with --keep-words`;
        faults.push({ line, column: column + word.index, severity: 'error', message });
      }
      return chord.text ?? '';
    });
    const place = { line, column: column + (words[0]?.index ?? 0) };
    const dots = barred ? neededDots(chords.length, meter) : null;
    if (barred && chords.length > mostInBar)
      faults.push({
        ...place,
        severity: 'error',
        message: `${chords.length} chords in one bar; at most ${mostInBar}`,
      });
    else if (barred && !dots && chords.length > 1 && !sharesEvenly(chords.length, meter))
      faults.push({
        ...place,
        severity: 'error',
        message: `${chords.length} chords have no room in a bar of ${meterName(meter)}; at most ${mostWithDots(meter)}, or as many on each beat`,
      });
    const written = chords.map((chord, at) => chord + '.'.repeat(dots?.[at] ?? 0));
    if (dots && !written.some((chord) => chord.startsWith('.')))
      remarks.push({
        place,
        message: `${chords.length} chords do not share a bar of ${meterName(meter)} evenly; they are written (${written.join(' ')})`,
      });
    if (barred && chords.length > 0) bars.push(written);
    else if (!barred) for (const chord of chords) bars.push([chord]);
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
  const text = bars.map((chords) => (chords.length === 1 ? chords[0] : `(${chords.join(' ')})`)).join(' ');
  return { text: repeat ? `|: ${text} :|${times === 2 ? '' : ` x${times}`}` : text, remarks, faults };
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
