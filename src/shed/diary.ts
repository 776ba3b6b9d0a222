import { jsonText } from '../base/json.js';
import { type DictationFigures, readDictation } from './dictation/figures.js';
import { type HeardFigures, readFigures } from './heard-figures.js';
import { type PassResult, passResults } from './ladder.js';

/** What was practised: a chart as it is, or a drill made from one, or questions about numbers; or a place that should be looked at later. */
export type DiaryWhat = 'chart' | 'drill' | 'numbers' | 'later';

/** One pass, or one question, as the diary keeps it. */
export interface DiaryEntry {
  /** When it ended, ms since 1970. */
  readonly at: number;
  readonly what: DiaryWhat;
  /** The drill's kind; `null` for a chart. */
  readonly drill: string | null;
  /** The chart's title, or the question. */
  readonly title: string;
  readonly file: string | null;
  /** The changes the hand made: pairs of id and numbers. */
  readonly changes: readonly (readonly [id: string, numbers: string])[];
  readonly key: string;
  /** Quarters a minute that it was played at, and that are aimed at. */
  readonly bpm: number;
  readonly target: number;
  readonly pattern: string | null;
  readonly result: PassResult;
  /** How long it took, ms. */
  readonly ms: number;
  /** The set in which it was played, by its title. */
  readonly set?: string | null;
  /** The bar that should be looked at later, from 1. */
  readonly bar?: number;
  /** The step of the path that was played. */
  readonly step?: string;
  /** The plan it was part of, by its title. */
  readonly plan?: string;
  /** What the ear heard of it, where it listened. `result` is the player's word where there was one. */
  readonly heard?: HeardFigures;
  /** How changes were named by ear, if they were. */
  readonly dictation?: DictationFigures;
}

/** A line of a diary that cannot be read: its number from 1, and why. It stays in the file. */
export interface SetAside {
  readonly line: number;
  readonly why: string;
}

/** What was read of a diary. */
export interface Diary {
  readonly entries: readonly DiaryEntry[];
  /** Lines that cannot be read: the first ones of them, and how many there are. */
  readonly aside: readonly SetAside[];
  readonly asideCount: number;
}

/** Lines that are reported as set aside; of further ones only the number is kept. */
const mostAside = 1000;

/** The version of a line's format. */
const version = 1;

/** An entry as its line, without the line's end. */
export function diaryLine(entry: DiaryEntry): string {
  return jsonText({ v: version, ...entry });
}

/** Reads a diary's text: every line that is an entry, and of the others where they are and why. Never throws. */
export function readDiary(text: string): Diary {
  return diaryOfLines(text.split('\n').map((line, index) => ({ number: index + 1, text: line })));
}

/** Reads a diary's lines, one after the other. Throws only what getting the lines throws. */
export function diaryOfLines(lines: Iterable<{ readonly number: number; readonly text: string }>): Diary {
  const entries: DiaryEntry[] = [];
  const aside: SetAside[] = [];
  let asideCount = 0;
  for (const { number, text } of lines) {
    const read = readDiaryLine(text);
    if (read === null) continue;
    if (typeof read !== 'string') entries.push(read);
    else {
      asideCount += 1;
      if (aside.length < mostAside) aside.push({ line: number, why: read });
    }
  }
  return { entries, aside, asideCount };
}

/** The entry of a line; a sentence where it is not one, `null` where it is empty. */
export function readDiaryLine(line: string): DiaryEntry | string | null {
  return line.trim() === '' ? null : readLine(line);
}

function readLine(line: string): DiaryEntry | string {
  let read: unknown;
  try {
    read = JSON.parse(line);
  } catch {
    return line.startsWith('{"v":') ? 'the line is cut short' : 'this is not a diary line';
  }
  if (typeof read !== 'object' || read === null || Array.isArray(read)) return 'this is not a diary line';
  const entry = read as Record<string, unknown>;
  if (entry.v !== version) return `it is of version ${String(entry.v).slice(0, 12)}, which is not known here`;
  if (!isEntry(entry)) return 'parts of the entry are missing or wrong';
  const { heard, dictation, ...rest } = entry;
  if (heard === undefined && dictation === undefined) return entry;
  // A pass counts without figures that cannot be read.
  const figures = heard === undefined ? null : readFigures(heard);
  const named = dictation === undefined ? null : readDictation(dictation);
  return { ...rest, ...(figures && { heard: figures }), ...(named && { dictation: named }) };
}

/** The last instant a date can be, ms from 1970 (ECMAScript, time values). */
const latest = 8.64e15;
const whats: readonly unknown[] = ['chart', 'drill', 'numbers', 'later'];

function isEntry(entry: Record<string, unknown>): entry is Record<string, unknown> & DiaryEntry {
  const {
    at,
    what,
    drill,
    title,
    file,
    changes,
    key,
    bpm,
    target,
    pattern,
    result,
    ms,
    set = null,
    bar = 1,
    step = '',
    plan = '',
  } = entry;
  return (
    isNumber(at) &&
    Math.abs(at) <= latest &&
    isNumber(bpm) &&
    isNumber(target) &&
    isNumber(ms) &&
    whats.includes(what) &&
    typeof title === 'string' &&
    typeof key === 'string' &&
    isTextOrNull(drill) &&
    isTextOrNull(file) &&
    isTextOrNull(pattern) &&
    isTextOrNull(set) &&
    isNumber(bar) &&
    typeof step === 'string' &&
    typeof plan === 'string' &&
    passResults.includes(result as PassResult) &&
    Array.isArray(changes) &&
    changes.every(
      (one) =>
        Array.isArray(one) && one.length === 2 && typeof one[0] === 'string' && typeof one[1] === 'string',
    )
  );
}

function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}

function isTextOrNull(value: unknown): boolean {
  return value === null || typeof value === 'string';
}
