import { type Card, createEmptyCard, default_w, fsrs, type Grade, Rating } from 'ts-fsrs';
import type { DiaryEntry } from './diary.js';
import { isStepPass } from './path-steps.js';
import { dayOf } from './summary.js';

/** A change as the review knows it: when it is due again, and what was last played of it. */
export interface DueChange {
  readonly id: string;
  readonly numbers: string;
  readonly key: string;
  /** Quarters a minute: aimed at, and the fastest clean pass of its last day (0 for none). */
  readonly target: number;
  readonly best: number;
  readonly card: Card;
}

/** How a day of practice of a change is graded; `null` where nothing was marked. */
export function gradeOf(marks: readonly Pick<DiaryEntry, 'result' | 'bpm' | 'target'>[]): Grade | null {
  const marked = marks.filter(({ result }) => result !== 'unmarked');
  const last = marked.at(-1);
  if (!last) return null;
  const clean = marked.filter(({ result }) => result === 'clean');
  if (clean.length === 0) return Rating.Again;
  const atTarget = clean.some(({ bpm, target }) => bpm >= target * 0.99);
  if (!atTarget) return last.result === 'miss' ? Rating.Again : Rating.Hard;
  return marked.every(({ result }) => result === 'clean') ? Rating.Easy : Rating.Good;
}

/**
 * The schedule of every change in the diary: one review a day, graded from that day's marks, by ts-fsrs with its own
 * default weights and without randomness. Passes of the path's steps are scheduled as steps, and not here again.
 */
export function dueChanges(entries: readonly DiaryEntry[]): readonly DueChange[] {
  const byChange = new Map<string, DiaryEntry[]>();
  for (const entry of entries) {
    if (entry.step !== undefined) continue;
    // A missed pass with many changes does not say which of them was missed.
    if (entry.changes.length > 2 && entry.result !== 'clean') continue;
    for (const [id] of entry.changes) addTo(byChange, id, entry);
  }
  return [...byChange].flatMap(([id, written]): DueChange[] => {
    const reviewed = review(written);
    if (!reviewed) return [];
    const { last, best, card } = reviewed;
    const numbers = last.changes.find(([one]) => one === id)?.[1] ?? '';
    return [{ id, numbers, key: last.key, target: last.target, best, card }];
  });
}

/** A step of the path as the review knows it. */
export interface DueStep {
  readonly step: string;
  readonly best: number;
  readonly card: Card;
}

/** The schedule of every step of the path that was played, in whatever key. */
export function dueSteps(entries: readonly DiaryEntry[]): readonly DueStep[] {
  const byStep = new Map<string, DiaryEntry[]>();
  for (const entry of entries) if (isStepPass(entry)) addTo(byStep, entry.step, entry);
  return [...byStep].flatMap(([step, written]): DueStep[] => {
    const reviewed = review(written);
    return reviewed ? [{ step, best: reviewed.best, card: reviewed.card }] : [];
  });
}

/** When something is due again, by all that was played of it; `best` and `last` are of its last day. `null`: nothing was marked. */
function review(
  written: readonly DiaryEntry[],
): { readonly card: Card; readonly best: number; readonly last: DiaryEntry } | null {
  const scheduler = fsrs({ w: default_w, enable_fuzz: false });
  // A clock that was set back, or diaries put together, leave entries out of their order; the schedule needs it.
  const inOrder = written.toSorted((one, other) => one.at - other.at);
  const days = new Map<string, DiaryEntry[]>();
  for (const entry of inOrder) addTo(days, dayOf(entry.at), entry);
  let card: Card | null = null;
  let best = 0;
  for (const marks of days.values()) {
    const grade = gradeOf(marks);
    if (grade === null) continue;
    const at = new Date((marks.at(-1) as DiaryEntry).at);
    card = scheduler.next(card ?? createEmptyCard(at), at, grade).card;
    best = Math.max(0, ...marks.filter(({ result }) => result === 'clean').map(({ bpm }) => bpm));
  }
  return card ? { card, best, last: inOrder.at(-1) as DiaryEntry } : null;
}

function addTo<K, V>(lists: Map<K, V[]>, key: K, value: V): void {
  const list = lists.get(key);
  if (list) list.push(value);
  else lists.set(key, [value]);
}
