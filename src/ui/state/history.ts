import type { Chart } from '../../chart/chart.js';
import type { Setup } from '../../playback/setup.js';
import type { Sight } from './sight.js';

/** All that a player chooses for a song while it stands in front of them, and that can be taken back: what is kept for a song. */
export type Chosen = Pick<
  Setup,
  'key' | 'bpm' | 'countIn' | 'click' | 'pattern' | 'mix' | 'melody' | 'range' | 'picks'
> &
  Pick<Sight, 'layout' | 'names' | 'hand' | 'ahead' | 'words' | 'tune'> & {
    /** Of a click without a song, whose meter is chosen; absent elsewhere, where a chart is written and not chosen. */
    readonly chart?: Chart;
  };

/** One of these things. */
export type Thing = keyof Chosen;

/** The things that belong to what is shown; all others belong to the setup. */
export const shownThings = ['layout', 'names', 'hand', 'ahead', 'words', 'tune'] as const;
const setupThings = [
  'key',
  'bpm',
  'countIn',
  'click',
  'pattern',
  'mix',
  'melody',
  'range',
  'picks',
  'chart',
] as const satisfies readonly Thing[];
const things: readonly Thing[] = [...setupThings, ...shownThings];

/** One step back: what some things were before they were changed. */
export interface BackStep {
  readonly before: Partial<Chosen>;
  /** What it was chosen with; the same again soon afterwards is part of this step. `null`: never. */
  readonly run: string | null;
  /** When it was chosen last, ms. */
  readonly at: number;
}

/** What was chosen for the song on the stand, and in which steps; it begins afresh with every song that comes onto it. */
export interface History {
  /** All of it as it was seen last; `null` before it was looked at. */
  readonly seen: Chosen | null;
  /** The steps, the last one at the end. */
  readonly steps: readonly BackStep[];
}

/** What a player just did: with what, and when, ms. */
export interface Choosing {
  readonly run: string | null;
  readonly at: number;
}

/** Of a song that has just come onto the stand. */
export const noHistory: History = { seen: null, steps: [] };

/** Steps that can be taken back. */
export const mostSteps = 50;

/** The same key again within this time is part of one step, ms: the slowest taps that make a tempo are as far apart. */
export const runMs = 3200;

/**
 * What is chosen now.
 *
 * @param isClick whether it is a click without a song
 */
export function chosenNow(
  setup: Setup,
  { layout, names, hand, ahead, words, tune }: Sight,
  isClick = false,
): Chosen {
  const { key, bpm, countIn, click, pattern, mix, melody, range, picks } = setup;
  return {
    ...{ key, bpm, countIn, click, pattern, mix, range, picks },
    ...(melody === undefined ? {} : { melody }),
    ...(isClick ? { chart: setup.chart } : {}),
    ...{ layout, names, hand, ahead, words, tune },
  };
}

/**
 * The history after something happened. What the player changed is a step; what was changed by anything else (a ladder, a leader, a
 * chord that waits) is nothing to go back from, and what was chosen of it before is forgotten.
 *
 * @param by what the player did; `null` where it was not the player
 */
export function historyAfter(history: History, now: Chosen, by: Choosing | null): History {
  const { seen } = history;
  if (seen === null) return { ...history, seen: now };
  const changed = things.filter((thing) => !alike(seen[thing], now[thing]));
  if (changed.length === 0) return history;
  if (by === null) return { seen: now, steps: without(history.steps, changed) };
  const last = history.steps.at(-1);
  if (last && isRunOn(last, changed, by)) {
    const earlier = history.steps.slice(0, -1);
    // A run that ends where it began has changed nothing.
    const isBack = changed.every((thing) => alike(last.before[thing], now[thing]));
    return { seen: now, steps: isBack ? earlier : [...earlier, { ...last, at: by.at }] };
  }
  const before = Object.fromEntries(changed.map((thing) => [thing, seen[thing]])) as Partial<Chosen>;
  return { seen: now, steps: [...history.steps, { before, ...by }].slice(-mostSteps) };
}

/** The last step of which everything may be taken back now; `null` for none. */
export function stepBack({ steps }: History, mayTake: (thing: Thing) => boolean): BackStep | null {
  return steps.findLast((step) => thingsOf(step).every(mayTake)) ?? null;
}

/** The history after a step was taken back, or is given up. */
export function steppedBack({ seen, steps }: History, step: BackStep, isTaken: boolean): History {
  return {
    seen: seen && isTaken ? { ...seen, ...step.before } : seen,
    steps: steps.filter((one) => one !== step),
  };
}

/** The things that a step takes back. */
export function thingsOf({ before }: BackStep): readonly Thing[] {
  return things.filter((thing) => Object.hasOwn(before, thing));
}

/** What of a step belongs to the setup, and what to the sight. */
export function partsOf(step: BackStep): { readonly setup: Partial<Setup>; readonly sight: Partial<Sight> } {
  const { layout, names, hand, ahead, words, tune, ...setup } = step.before;
  const sight = { layout, names, hand, ahead, words, tune };
  const shown = Object.entries(sight).filter(([, value]) => value !== undefined);
  return { setup, sight: Object.fromEntries(shown) };
}

function isRunOn(last: BackStep, changed: readonly Thing[], { run, at }: Choosing): boolean {
  const known = thingsOf(last);
  const same = known.length === changed.length && changed.every((thing) => known.includes(thing));
  return run !== null && last.run === run && same && at - last.at <= runMs;
}

function without(steps: readonly BackStep[], gone: readonly Thing[]): readonly BackStep[] {
  return steps.flatMap((step): BackStep[] => {
    const left = thingsOf(step).filter((thing) => !gone.includes(thing));
    if (left.length === 0) return [];
    return [{ ...step, before: Object.fromEntries(left.map((thing) => [thing, step.before[thing]])) }];
  });
}

/** Whether two values are equal; all of them are plain data. */
function alike(one: unknown, other: unknown): boolean {
  return one === other || JSON.stringify(one) === JSON.stringify(other);
}
