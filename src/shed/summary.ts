import type { DiaryEntry } from './diary.js';
import { isStepPass } from './path-steps.js';

/** Practice of one change or chart over time. */
export interface Progress {
  /** The change's id, or the chart's title. */
  readonly id: string;
  readonly label: string;
  /** For each day it was marked on, the fastest clean tempo (quarters a minute), or 0 when nothing was clean. */
  readonly days: readonly { readonly day: string; readonly bpm: number }[];
  /** The tempo that holds: the fastest clean one of the last day on which any was. */
  readonly holds: number | null;
  readonly target: number;
  readonly passes: number;
  readonly clean: number;
  readonly missed: number;
  readonly unmarked: number;
}

/** A day as it is written, in local time: `2026-03-09`. */
export function dayOf(at: number): string {
  const date = new Date(at);
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

/** How each change has gone: from pairs that were drilled, and from whole passes that were clean. */
export function changeProgress(entries: readonly DiaryEntry[]): readonly Progress[] {
  return progress(entries, (entry) => {
    // A place that was marked is no pass.
    if (entry.what === 'later') return [];
    // A miss in a whole chart does not say which of its changes it was.
    if (entry.changes.length > 2 && entry.result !== 'clean') return [];
    return entry.changes.map(([id, numbers]) => ({
      id,
      label: `${numbers.replace('>', ' to ')} in ${entry.key}`,
    }));
  });
}

/** How each chart has gone as a whole. */
export function chartProgress(entries: readonly DiaryEntry[]): readonly Progress[] {
  return progress(entries, (entry) =>
    entry.what === 'chart' ? [{ id: entry.title, label: entry.title }] : [],
  );
}

/** How each step of the path has gone, in each key. */
export function stepProgress(entries: readonly DiaryEntry[]): readonly Progress[] {
  return progress(entries, (entry) =>
    isStepPass(entry) ? [{ id: `${entry.step} ${entry.key}`, label: `${entry.step} in ${entry.key}` }] : [],
  );
}

function progress(
  entries: readonly DiaryEntry[],
  namesOf: (entry: DiaryEntry) => readonly { id: string; label: string }[],
): readonly Progress[] {
  const found = new Map<string, { label: string; entries: DiaryEntry[] }>();
  for (const entry of entries) {
    for (const { id, label } of namesOf(entry)) {
      const known = found.get(id) ?? { label, entries: [] };
      known.label = label;
      known.entries.push(entry);
      found.set(id, known);
    }
  }
  return [...found].map(([id, { label, entries: own }]) => oneProgress(id, label, own));
}

function oneProgress(id: string, label: string, entries: readonly DiaryEntry[]): Progress {
  const count = (result: DiaryEntry['result']): number =>
    entries.filter((entry) => entry.result === result).length;
  const days = new Map<string, number>();
  for (const { at, bpm, result } of entries) {
    if (result === 'unmarked') continue;
    const day = dayOf(at);
    days.set(day, Math.max(days.get(day) ?? 0, result === 'clean' ? bpm : 0));
  }
  const list = [...days]
    .map(([day, bpm]) => ({ day, bpm }))
    .sort((one, other) => (one.day < other.day ? -1 : 1));
  return {
    id,
    label,
    days: list,
    holds: list.findLast(({ bpm }) => bpm > 0)?.bpm ?? null,
    target: entries.at(-1)?.target ?? 0,
    passes: entries.length,
    clean: count('clean'),
    missed: count('miss'),
    unmarked: count('unmarked'),
  };
}

/** A set that was played: on which day, what was played of it, and for how long. */
export interface SetPlayed {
  readonly set: string;
  readonly day: string;
  readonly songs: readonly { readonly title: string; readonly key: string; readonly bpm: number }[];
  readonly minutes: number;
}

/** The sets that were played, day by day. */
export function setsPlayed(entries: readonly DiaryEntry[]): readonly SetPlayed[] {
  const found = new Map<string, DiaryEntry[]>();
  for (const entry of entries) {
    if (!entry.set || entry.what === 'later') continue;
    const name = `${dayOf(entry.at)} ${entry.set}`;
    found.set(name, [...(found.get(name) ?? []), entry]);
  }
  return [...found.values()].map((own) => ({
    set: own[0]?.set ?? '',
    day: dayOf(own[0]?.at ?? 0),
    songs: own.map(({ title, key, bpm }) => ({ title, key, bpm })),
    minutes: own.reduce((sum, { ms }) => sum + ms / 60_000, 0),
  }));
}

/** Minutes practised on each of the last `count` days, today last. */
export function minutesByDay(
  entries: readonly DiaryEntry[],
  now: number,
  count: number,
): readonly { readonly day: string; readonly minutes: number }[] {
  const minutes = new Map<string, number>();
  for (const { at, ms } of entries) minutes.set(dayOf(at), (minutes.get(dayOf(at)) ?? 0) + ms / 60_000);
  return Array.from({ length: count }, (_, index) => {
    const date = new Date(now);
    // By the calendar, not by 24 hours: a day may have 23.
    date.setDate(date.getDate() - (count - 1 - index));
    const day = dayOf(date.getTime());
    return { day, minutes: minutes.get(day) ?? 0 };
  });
}
