import { jsonText } from '../base/json.js';
import { type PassResult, passResults } from './ladder.js';

/** What was practised: a chart as it is, or a drill made from one, or questions about numbers; or a place that is to be looked at later. */
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
  /** The bar that is to be looked at later, from 1. */
  readonly bar?: number;
}

/** A line of a diary that cannot be read: its number from 1, and why. It stays in the file. */
export interface SetAside {
  readonly line: number;
  readonly why: string;
}

/** What was read of a diary. */
export interface Diary {
  readonly entries: readonly DiaryEntry[];
  readonly aside: readonly SetAside[];
}

/** The version of a line's format. */
const version = 1;

/** An entry as its line, without the line's end. */
export function diaryLine(entry: DiaryEntry): string {
  return jsonText({ v: version, ...entry });
}

/** Reads a diary's text: every line that is an entry, and of the others where they are and why. Never throws. */
export function readDiary(text: string): Diary {
  const entries: DiaryEntry[] = [];
  const aside: SetAside[] = [];
  let from = 0;
  for (let line = 1; from < text.length; line += 1) {
    const end = text.indexOf('\n', from);
    const own = text.slice(from, end < 0 ? text.length : end);
    from = end < 0 ? text.length : end + 1;
    if (own.trim() === '') continue;
    const read = readLine(own);
    if (typeof read === 'string') aside.push({ line, why: read });
    else entries.push(read);
  }
  return { entries, aside };
}

function readLine(line: string): DiaryEntry | string {
  let read: unknown;
  try {
    read = JSON.parse(line);
  } catch {
    return line.startsWith('{"v":') ? 'the line is torn' : 'this is no diary line';
  }
  if (typeof read !== 'object' || read === null || Array.isArray(read)) return 'this is no diary line';
  const entry = read as Record<string, unknown>;
  if (entry.v !== version) return `it is of version ${String(entry.v).slice(0, 12)}, which is not known here`;
  return isEntry(entry) ? entry : 'parts of the entry are missing, or are not what they should be';
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
