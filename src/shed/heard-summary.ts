import type { DiaryEntry } from './diary.js';
import type { HeardFigures, HeardTiming } from './heard-figures.js';
import { dayOf } from './summary.js';

/** What was heard in a week: all chops and low notes together. */
export interface HeardWeek {
  /** Its Monday. */
  readonly week: string;
  readonly passes: number;
  readonly chops: HeardTiming | null;
  readonly lows: HeardTiming | null;
  /** Mean of the chops against the beat, of passes where that is known; `null` where there was none. */
  readonly lead: number | null;
  /** Chops that rang on, of how many. */
  readonly rang: number;
  readonly stopped: number;
}

/** A change that came late. */
export interface LateChange {
  readonly id: string | null;
  /** `1 to 4 in G`. */
  readonly label: string;
  readonly numbers: string;
  readonly key: string;
  /** How often it was heard, how often it was late, and then by how many ms, the mean. */
  readonly of: number;
  readonly late: number;
  readonly ms: number;
  /** When it was last late, ms since 1970; and the target of that pass, quarters a minute. */
  readonly at: number;
  readonly target: number;
}

type Heard = DiaryEntry & { readonly heard: HeardFigures };

/** The entries of which something was heard. */
function heardOf(entries: readonly DiaryEntry[]): readonly Heard[] {
  return entries.filter(
    (entry): entry is Heard => entry.heard !== undefined && entry.heard.result !== 'not heard',
  );
}

/** Week by week, the earliest first, what was heard. */
export function heardWeeks(entries: readonly DiaryEntry[]): readonly HeardWeek[] {
  const weeks = new Map<string, HeardFigures[]>();
  for (const { at, heard } of heardOf(entries)) {
    const week = mondayOf(at);
    weeks.set(week, [...(weeks.get(week) ?? []), heard]);
  }
  return [...weeks]
    .sort(([one], [other]) => (one < other ? -1 : 1))
    .map(([week, all]) => ({
      week,
      passes: all.length,
      chops: together(all.flatMap(({ chops }) => chops ?? [])),
      lows: together(all.flatMap(({ lows }) => lows ?? [])),
      lead: together(all.flatMap(({ absolute, chops }) => (absolute && chops ? [chops] : [])))?.mean ?? null,
      rang: all.reduce((sum, { rang }) => sum + rang, 0),
      stopped: all.reduce((sum, { stopped }) => sum + stopped, 0),
    }));
}

/** Several passes as one: the mean of all strokes, and the spread within passes (differences between passes are not a spread of the hand). */
function together(all: readonly HeardTiming[]): HeardTiming | null {
  const count = all.reduce((sum, one) => sum + one.count, 0);
  if (count === 0) return null;
  const mean = all.reduce((sum, one) => sum + one.mean * one.count, 0) / count;
  const squares = all.reduce((sum, one) => sum + one.spread ** 2 * one.count, 0) / count;
  return { mean: tenth(mean), spread: tenth(Math.sqrt(squares)), count };
}

/** The changes that came late most often, those first that did. */
export function lateChanges(entries: readonly DiaryEntry[]): readonly LateChange[] {
  const found = new Map<string, LateChange & { readonly sum: number }>();
  for (const { at, key, target, heard } of heardOf(entries))
    for (const { id, numbers, of, late, ms } of heard.changes) {
      const label = `${numbers.replace('>', ' to ')} in ${key}`;
      // The same way of the hand in another key is the same change.
      const name = id ?? label;
      const known = found.get(name);
      const sum = (known?.sum ?? 0) + late * ms;
      const lates = (known?.late ?? 0) + late;
      const newest = late > 0 || !known ? { label, numbers, key, at, target } : known;
      found.set(name, {
        ...newest,
        id,
        of: (known?.of ?? 0) + of,
        late: lates,
        sum,
        ms: lates > 0 ? Math.round(sum / lates) : 0,
      });
    }
  return [...found.values()]
    .filter(({ late }) => late > 0)
    .sort((one, other) => other.late - one.late || other.late / other.of - one.late / one.of)
    .map(({ sum: _, ...change }) => change);
}

/** The Monday of a day's week, by the calendar of the place. */
function mondayOf(at: number): string {
  const date = new Date(at);
  date.setDate(date.getDate() - ((date.getDay() + 6) % 7));
  return dayOf(date.getTime());
}

function tenth(ms: number): number {
  return Math.round(10 * ms) / 10;
}
