import type { DiaryEntry } from './diary.js';
import type { PathStep } from './path-step.js';
import { isStepPass, pathSteps, stepsBefore } from './path-steps.js';
import { dayOf } from './summary.js';

/** The marks of a player on the path, besides what was played. */
export interface PathMarks {
  /** The step at which it was begun: all before it are known. `end`: the whole path is. `null`: at the first. */
  readonly start: string | null;
  /** Steps that somebody declared done, or wanted to be played again from then on (ms since 1970). */
  readonly steps: Readonly<Record<string, { readonly as: 'done' | 'again'; readonly at: number }>>;
}

/** No marks. */
export const noMarks: PathMarks = { start: null, steps: {} };

/** Where a step stands. */
export interface StepState {
  readonly step: PathStep;
  readonly done: boolean;
  /** Whether all that it needs is done. */
  readonly open: boolean;
  /** Whether it was played, or a pass of it. */
  readonly begun: boolean;
  readonly keysDone: readonly string[];
  /** The key in which it is played next: the first that is not done; of one that is done, the one played longest ago. */
  readonly key: string;
  /** In that key: the fastest clean pass of its last day, quarters a minute (0 for none), and days on which it counted. */
  readonly best: number;
  readonly days: number;
}

/** Where somebody stands on the path. */
export interface PathState {
  readonly steps: readonly StepState[];
  readonly done: ReadonlySet<string>;
  /** Steps that can be played and are not done, where the player began first, then in order; the first is the one that comes. */
  readonly ahead: readonly StepState[];
}

/** Where somebody stands on the path, by what was played and what was said. */
export function pathState(entries: readonly DiaryEntry[], marks: PathMarks = noMarks): PathState {
  const inOrder = entries
    .filter((entry) => isStepPass(entry) && entry.at >= againSince(marks, entry.step))
    .toSorted((one, other) => one.at - other.at);
  const own = (id: string): readonly DiaryEntry[] => inOrder.filter(({ step }) => step === id);
  const played = pathSteps.filter((step) => step.keys.every((key) => holdsIn(step, key, own(step.id))));
  const done = new Set(played.map(({ id }) => id));
  for (const [id, { as }] of Object.entries(marks.steps)) if (as === 'done') done.add(id);
  if (marks.start === 'end') for (const { id } of pathSteps) done.add(id);
  else if (marks.start !== null) for (const id of stepsBefore(marks.start)) done.add(id);
  // A player who can play a song with three chords need not be asked for two of them.
  for (const id of [...done]) for (const before of stepsBefore(id)) done.add(before);
  for (const [id, { as }] of Object.entries(marks.steps))
    if (as === 'again' && !played.some((step) => step.id === id)) done.delete(id);
  const steps = pathSteps.map((step): StepState => stateOf(step, own(step.id), done));
  // Where the player began comes first, whatever else is open beside it.
  const ahead = steps
    .filter((one) => one.open && !one.done)
    .toSorted((one, other) => Number(other.step.id === marks.start) - Number(one.step.id === marks.start));
  return { steps, done, ahead };
}

function againSince({ steps }: PathMarks, id: string): number {
  const mark = steps[id];
  return mark?.as === 'again' ? mark.at : Number.NEGATIVE_INFINITY;
}

function stateOf(step: PathStep, entries: readonly DiaryEntry[], done: ReadonlySet<string>): StepState {
  const keysDone = step.keys.filter((key) => holdsIn(step, key, entries));
  const lastPlayed = (key: string): number => entries.findLast((entry) => entry.key === key)?.at ?? 0;
  const key =
    step.keys.find((one) => !keysDone.includes(one) && !done.has(step.id)) ??
    step.keys.toSorted((one, other) => lastPlayed(one) - lastPlayed(other))[0] ??
    '';
  const inKey = entries.filter((entry) => entry.key === key && entry.result !== 'unmarked');
  const lastDay = inKey.length > 0 ? dayOf((inKey.at(-1) as DiaryEntry).at) : '';
  const clean = inKey.filter(({ result, at }) => result === 'clean' && dayOf(at) === lastDay);
  return {
    step,
    done: done.has(step.id),
    open: step.needs.every((id) => done.has(id)),
    begun: entries.length > 0,
    keysDone,
    key,
    best: Math.max(0, ...clean.map(({ bpm }) => bpm)),
    days: daysHeld(step, inKey),
  };
}

function holdsIn(step: PathStep, key: string, entries: readonly DiaryEntry[]): boolean {
  return (
    daysHeld(
      step,
      entries.filter((entry) => entry.key === key),
    ) >= step.days
  );
}

/** On how many days a step's clean passes in a row were reached; what is not marked neither counts nor interrupts. */
function daysHeld({ clean, bpm }: PathStep, entries: readonly DiaryEntry[]): number {
  const days = new Set<string>();
  let row = 0;
  let day = '';
  for (const entry of entries) {
    if (entry.result === 'unmarked') continue;
    if (dayOf(entry.at) !== day) {
      day = dayOf(entry.at);
      row = 0;
    }
    // A tempo that was rounded is as good.
    row = entry.result === 'clean' && entry.bpm >= bpm * 0.99 ? row + 1 : 0;
    if (row >= clean) days.add(day);
  }
  return days.size;
}
