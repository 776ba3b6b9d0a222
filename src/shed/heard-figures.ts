import type { Estimate } from '../listen/estimate.js';
import type { Verdict } from '../listen/verdict.js';

/** Mean and spread of strokes, ms, and of how many. Less than 0: before the beat. */
export interface HeardTiming {
  readonly mean: number;
  readonly spread: number;
  readonly count: number;
}

/** How a change went in a pass. */
export interface HeardChange {
  /** As the diary's changes have it; `null` where the pass's own have none of these numbers. */
  readonly id: string | null;
  /** `1>4`. */
  readonly numbers: string;
  /** How often it was heard, how often it was late, and then by how many ms (the median; 0 when it never was). */
  readonly of: number;
  readonly late: number;
  readonly ms: number;
}

/** What the ear heard of a pass, as the diary keeps it. */
export interface HeardFigures {
  readonly result: Verdict['result'];
  readonly chops: HeardTiming | null;
  readonly lows: HeardTiming | null;
  /** Whether means are against the beat; else against the middle of the pass's own strokes. */
  readonly absolute: boolean;
  /** The late ones first. */
  readonly changes: readonly HeardChange[];
  /** Wrong chords: which number, what it sounded like (`null`: nothing known), how many strokes. */
  readonly wrong: readonly (readonly [number: string, heard: string | null, strokes: number])[];
  /** Chops that rang on, and how many chops that is known for. */
  readonly rang: number;
  readonly stopped: number;
}

/** The most changes, and the most wrong chords, that are kept of a pass. */
const most = 12;
/** The longest text within, characters. */
const longest = 200;
/** No time within a pass is longer, ms, and no count is greater. */
const greatest = 1e6;

const results: readonly unknown[] = ['clean', 'not clean', 'not heard'];

/** The figures of a verdict. `changes`: those of the pass, pairs of id and numbers. */
export function heardFigures(
  verdict: Verdict,
  changes: readonly (readonly [id: string, numbers: string])[],
): HeardFigures {
  const { result, timing, absolute, rang, chopsHeard } = verdict;
  return {
    result,
    chops: timingOf(timing.chop),
    lows: timingOf(timing.low),
    absolute,
    changes: verdict.changes
      .filter(({ heard }) => heard > 0)
      .slice(0, most)
      .map(({ from, to, heard, late, lateMs }) => {
        const numbers = `${from}>${to}`;
        const id = changes.find((one) => one[1] === numbers)?.[0] ?? null;
        return { id, numbers, of: heard, late, ms: Math.round(lateMs ?? 0) };
      }),
    wrong: verdict.wrong.slice(0, most).map(({ chord, heard, strokes }) => [chord.number, heard, strokes]),
    rang: rang.length,
    stopped: chopsHeard,
  };
}

function timingOf(estimate: Estimate | null): HeardTiming | null {
  return estimate && { mean: tenth(estimate.mean), spread: tenth(estimate.spread), count: estimate.count };
}

function tenth(ms: number): number {
  return Math.round(10 * ms) / 10;
}

/** Figures as they were read from a diary; `null` where they are not what they should be. */
export function readFigures(value: unknown): HeardFigures | null {
  return isFigures(value) ? value : null;
}

function isFigures(value: unknown): value is HeardFigures {
  if (!isRecord(value)) return false;
  const { result, chops, lows, absolute, changes, wrong, rang, stopped } = value;
  return (
    results.includes(result) &&
    isTiming(chops) &&
    isTiming(lows) &&
    typeof absolute === 'boolean' &&
    isList(changes, isChange) &&
    isList(wrong, isWrong) &&
    isCount(rang) &&
    isCount(stopped)
  );
}

function isTiming(value: unknown): boolean {
  if (value === null) return true;
  if (!isRecord(value)) return false;
  return isMs(value.mean) && isMs(value.spread) && Number(value.spread) >= 0 && isCount(value.count);
}

function isChange(value: unknown): boolean {
  if (!isRecord(value)) return false;
  const { id, numbers, of, late, ms } = value;
  return isTextOrNull(id) && isText(numbers) && isCount(of) && isCount(late) && late <= of && isMs(ms);
}

function isWrong(value: unknown): boolean {
  if (!Array.isArray(value) || value.length !== 3) return false;
  const [number, heard, strokes] = value;
  return isText(number) && isTextOrNull(heard) && isCount(strokes);
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isList(value: unknown, isOne: (one: unknown) => boolean): boolean {
  return Array.isArray(value) && value.length <= most && value.every(isOne);
}

function isMs(value: unknown): value is number {
  return typeof value === 'number' && Math.abs(value) <= greatest;
}

function isCount(value: unknown): value is number {
  return isMs(value) && Number.isInteger(value) && value >= 0;
}

function isText(value: unknown): boolean {
  return typeof value === 'string' && value.length <= longest;
}

function isTextOrNull(value: unknown): boolean {
  return value === null || isText(value);
}
