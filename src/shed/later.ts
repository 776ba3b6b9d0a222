import type { Chart } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { parseKey } from '../theory/key.js';
import type { DiaryEntry } from './diary.js';
import type { Drill } from './drill.js';
import { chainDrill, phraseAt } from './drills.js';

/** A place that was marked while it was played: look at this later. */
export interface LaterMark {
  readonly at: number;
  readonly title: string;
  readonly file: string | null;
  /** From 1. */
  readonly bar: number;
  readonly key: string;
  /** The set in which it was marked, if it was one. */
  readonly set: string | null;
}

/** The places that were marked and have not been practised since, each once, the latest first. */
export function openMarks(entries: readonly DiaryEntry[]): readonly LaterMark[] {
  const open = new Map<string, LaterMark>();
  for (const entry of entries) {
    const { what, at, title, file, bar, key, set = null } = entry;
    if (what === 'later' && bar !== undefined)
      open.set(`${title} ${bar}`, { at, title, file, bar, key, set });
    else if (what === 'drill') for (const [name, mark] of open) if (isAbout(entry, mark)) open.delete(name);
  }
  return [...open.values()].sort((one, other) => other.at - one.at);
}

/** Whether a drill was made of the bars round a mark: its title says which they are. */
function isAbout({ title }: DiaryEntry, mark: LaterMark): boolean {
  const [, from, to, of = ''] = /^bars (\d+) to (\d+) of (.+?)(?:, from the end)?$/.exec(title) ?? [];
  return of === mark.title && Number(from) <= mark.bar && mark.bar <= Number(to);
}

/** The phrase in which a mark stands, practised from its end, in the key in which it was marked. */
export function laterDrill(chart: Chart, { bar, key }: Pick<LaterMark, 'bar' | 'key'>): Drill | null {
  const read = parseKey(key);
  const moved: Chart = read.ok && read.value.mode === chart.key.mode ? { ...chart, key: read.value } : chart;
  const { bars } = unroll(moved);
  if (bar < 1 || bar > bars.length) return null;
  const [from, to] = phraseAt(bars, bar - 1);
  // A single bar has no way into it: the one before belongs to it.
  const start = to - from < 2 ? Math.max(0, from - 1) : from;
  return chainDrill(moved, bars, start, Math.min(to, start + mostBars));
}

/** Bars of a phrase that are practised at most. */
const mostBars = 8;
