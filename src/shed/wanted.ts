import { type Chart, quarterTempo } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { changesOf } from '../hand/changes.js';
import { hardChanges } from '../hand/hard-changes.js';
import type { Instrument } from '../hand/instrument.js';
import { type PlanOptions, planHand } from '../hand/plan.js';
import { keyName, parseKey } from '../theory/key.js';
import { numberText, parseNumber } from '../theory/number.js';
import { changeId } from './change-id.js';
import type { DiaryEntry } from './diary.js';
import { laterDrill, openMarks } from './later.js';
import { type PathMarks, type PathState, pathState, type StepState } from './path-state.js';
import type { StepWay } from './path-step.js';
import { dueChanges, dueSteps } from './review.js';
import { dayOf } from './summary.js';
import type { ChartWay, TaskWish } from './task.js';

/** A chart to practise with, where it is, and whether the next set has it. */
export interface PracticeChart {
  readonly chart: Chart;
  readonly file: string;
  readonly inSet: boolean;
}

/** What practice is planned from. */
export interface SittingWishes {
  readonly entries: readonly DiaryEntry[];
  /** The player's marks on the path; none when absent. */
  readonly marks?: PathMarks;
  /** Charts to practise with: those of the next set first, then the player's others. */
  readonly charts: readonly PracticeChart[];
  readonly minutes: number;
  /** ms since 1970. */
  readonly now: number;
  readonly instrument: Instrument;
  readonly plan: Partial<PlanOptions>;
  /** Share of a chart's tempo that is aimed at. */
  readonly target: number;
}

/** Something that needs practice, before it is given its minutes. `id`: always the same for the same thing. */
export type Wanted = Omit<TaskWish, 'minutes'> & { readonly id: string };

/** Where tempo ladders of steps start, as shares: of the target at first, later of what was clean last. */
const firstShare = 0.65;
const laterShare = 0.92;
const wayShare = 0.85;

/** Where the player stands on the path. */
export function stateOf({ entries, marks }: SittingWishes): PathState {
  return pathState(entries, marks);
}

/** A step as it counts, in its next key or another, and why it comes. */
export function stepThing({ step, best, key: next, begun }: StepState, why: string, key = next): Wanted {
  const from =
    key === next
      ? Math.max(firstShare * step.bpm, Math.min(laterShare * step.bpm, best * laterShare))
      : firstShare * step.bpm;
  return {
    task: { kind: 'step', step: step.id, way: null },
    key,
    tempo: { from: Math.round(from), to: step.bpm },
    why: begun ? why : `new, the next step of the path: ${why}`,
    id: `step ${step.id} ${key}`,
  };
}

/** Another way to practise a step, in its next key. */
export function wayThing({ step, key, best, done }: StepState, way: StepWay): Wanted {
  const to = done ? step.bpm : Math.round(Math.max(firstShare * step.bpm, Math.min(step.bpm, best)));
  return {
    task: { kind: 'step', step: step.id, way },
    key,
    // Lift and land has tempos of its own.
    tempo: way === 'lift' ? null : { from: Math.round(wayShare * to), to },
    why: `another way to practise ${step.title}`,
    id: `step ${step.id} ${key} ${way}`,
  };
}

/** Places that were marked while they were played. */
export function laterThings({ entries, charts }: SittingWishes): Wanted[] {
  return openMarks(entries).flatMap((mark): Wanted[] => {
    const found = charts.find(({ chart }) => chart.title === mark.title);
    const drill = found && laterDrill(found.chart, mark);
    if (!found || !drill) return [];
    const where = mark.set === null ? '' : ` in ${mark.set}`;
    return [
      {
        task: { kind: 'chart', file: found.file, way: 'chain', chords: null, bar: mark.bar },
        key: keyName(drill.chart.key),
        tempo: null,
        why: `marked on ${dayOf(mark.at)}${where}, at bar ${mark.bar}: look at this later`,
        id: `later ${drill.title}`,
      },
    ];
  });
}

/** Steps of the path and changes whose day has come, what has waited longest first. */
export function dueThings({ entries, now, target, ...wishes }: SittingWishes): Wanted[] {
  const { steps } = stateOf({ entries, now, target, ...wishes });
  const ofSteps = dueSteps(entries).flatMap(({ step, best, card }) => {
    const state = steps.find((one) => one.step.id === step);
    // A step that is not done comes up anyway.
    if (!state?.done) return [];
    return [{ due: card.due.getTime(), thing: stepThing(state, why(card.due.getTime(), now, best)) }];
  });
  const ofChanges = dueChanges(entries).flatMap(({ numbers, key, target: aim, best, card, id }) => {
    const chords = numbers.split('>');
    if (!chords.every((text) => parseNumber(text).ok) || !parseKey(key).ok) return [];
    const to = Math.max(20, Math.min(400, Math.round(aim / target)));
    const thing: Wanted = {
      task: { kind: 'chords', chords: chords.join(' ') },
      key,
      tempo: { from: Math.round(to * 0.7), to },
      why: why(card.due.getTime(), now, best),
      id,
    };
    return [{ due: card.due.getTime(), thing }];
  });
  return [...ofSteps, ...ofChanges]
    .filter(({ due }) => due <= now)
    .sort((one, other) => one.due - other.due)
    .map(({ thing }) => thing);
}

function why(due: number, now: number, best: number): string {
  const days = Math.floor((now - due) / 86_400_000);
  const since = days === 0 ? 'due today' : `due for ${days} ${days === 1 ? 'day' : 'days'}`;
  return `${since}; ${best > 0 ? `held ${Math.round(best)} last time` : 'was not clean last time'}`;
}

/** Steps that are done, in the keys in which they have not been played for longest. */
export function oldThings(wishes: SittingWishes): Wanted[] {
  const { entries } = wishes;
  return stateOf(wishes)
    .steps.filter(({ done, begun }) => done && begun)
    .flatMap((state) => state.step.keys.map((key) => ({ state, key })))
    .map((one) => ({
      ...one,
      last: entries.findLast(({ step, key }) => step === one.state.step.id && key === one.key)?.at ?? 0,
    }))
    .sort((one, other) => one.last - other.last)
    .map(({ state, key, last }) => ({
      ...stepThing({ ...state, begun: true }, '', key),
      why: last === 0 ? `not played in ${key} yet` : `not played in ${key} since ${dayOf(last)}`,
    }));
}

/** The hardest changes of the next set, or of what there is, that do not hold their tempo yet. */
export function hardThings(wishes: SittingWishes, each = 2): Wanted[] {
  const { charts, entries, target, instrument, plan } = wishes;
  const held = new Map(dueChanges(entries).map((change) => [change.id, change.best]));
  const ofSet = charts.filter(({ inSet }) => inSet);
  return (ofSet.length > 0 ? ofSet : charts)
    .flatMap(({ chart, file, inSet }) => {
      const aim = quarterTempo(chart.tempo) * target;
      return hardChanges(planHand(changesOf(unroll(chart).bars), instrument, plan))
        .slice(0, each)
        .flatMap(({ from, to, ms }) => {
          if (!from.fingering || !to.fingering) return [];
          const id = changeId(from.fingering, to.fingering);
          if ((held.get(id) ?? 0) >= aim) return [];
          const chords = `${numberText(from.number)} ${numberText(to.number)}`;
          const reason = `${chords.replace(' ', ' to ')} is among the hardest of ${chart.title}${inSet ? ', which is in the next set' : ''}`;
          const thing: Wanted = {
            task: { kind: 'chart', file, way: 'pair', chords, bar: null },
            key: keyName(chart.key),
            tempo: null,
            why: reason,
            id,
          };
          return [{ thing, ms }];
        });
    })
    .sort((one, other) => other.ms - one.ms)
    .map(({ thing }) => thing);
}

/** One thing nobody has practised yet: a phrase of a chart that is not in the diary, or a way to play one that is. */
export function freshThing({ charts, entries }: SittingWishes): Wanted | null {
  const known = new Set(entries.map(({ title }) => title));
  const fresh = charts.find(
    ({ chart }) =>
      !known.has(chart.title) && ![...known].some((title) => title.endsWith(`of ${chart.title}`)),
  );
  const [one = fresh] = fresh ? [fresh] : charts;
  if (!one) return null;
  const { chart, file } = one;
  return {
    task: { kind: 'chart', file, way: fresh ? 'chain' : 'ring', chords: null, bar: null },
    key: keyName(chart.key),
    tempo: null,
    why: fresh ? `new: ${chart.title} has not been practised yet` : 'another way to practise what you know',
    id: `new ${chart.title}`,
  };
}

/** Other ways to look at the songs of the next set, or at what there is: those that are played most often first. */
export function chartWayThings({ charts }: SittingWishes, ways: readonly ChartWay[]): readonly Wanted[] {
  const ofSet = charts.filter(({ inSet }) => inSet);
  const from = ofSet.length > 0 ? ofSet : charts.slice(0, 4);
  return ways.flatMap((way) =>
    from.map(
      ({ chart, file }): Wanted => ({
        task: { kind: 'chart', file, way, chords: null, bar: null },
        key: keyName(chart.key),
        tempo: null,
        why: wayReasons[way] ?? `another way to practise ${chart.title}`,
        id: `${way} ${chart.title}`,
      }),
    ),
  );
}

/** What a way is good for, apart from the chart. */
export const wayReasons: Readonly<Partial<Record<ChartWay, string>>> = {
  gaps: 'steady time: the click comes and goes',
  steady: 'steady time: less and less click, down to four bars of silence',
  damped: 'the right hand by itself',
};
