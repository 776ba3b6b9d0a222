import type { DayKind } from './day-kind.js';
import { earThings } from './ear-things.js';
import { lateThings } from './late-things.js';
import type { StepState } from './path-state.js';
import { doneWhen } from './path-step.js';
import {
  chartWayThings,
  dueThings,
  freshThing,
  hardThings,
  laterThings,
  oldThings,
  type SittingWishes,
  stateOf,
  stepThing,
  type Wanted,
  wayReasons,
  wayThing,
} from './wanted.js';
import { dayNumber, turned } from './whole-songs.js';

/** A thing with its share of a day: what weighs twice as much comes twice as often. */
interface Weighed {
  readonly thing: Wanted;
  readonly weight: number;
}

/** Nothing comes more often than this in a sitting, but the step that is being learned. */
const mostTimes = 2;
const mostTimesOfStep = 4;

/**
 * The things of a day in their order, none twice in a row and none too often. What the day is about comes again and again, so
 * that it is left and found again; between come things that are due and other ways to look at it.
 */
export function dayThings(wishes: SittingWishes, kind: DayKind, most: number): readonly Wanted[] {
  const things = unique(partsOf(wishes, kind)).map((one) => ({ ...one, times: 0 }));
  const order: Wanted[] = [];
  while (order.length < most) {
    const last = order.at(-1);
    const [next] = things
      .filter(({ thing, times }) => {
        if (thing.id === last?.id || times >= (isStep(thing) ? mostTimesOfStep : mostTimes)) return false;
        // The warm-up was the fretting hand alone already.
        return last !== undefined || !('way' in thing.task) || thing.task.way !== 'fret';
      })
      .sort((one, other) => (one.times + 1) / one.weight - (other.times + 1) / other.weight);
    if (!next) break;
    next.times += 1;
    order.push(next.thing);
  }
  return order;
}

function isStep({ task }: Wanted): boolean {
  return task.kind === 'step' && task.way === null;
}

function weighed(things: readonly Wanted[], weight: number): readonly Weighed[] {
  return things.map((thing) => ({ thing, weight }));
}

/** What a day is made of, in order; of what weighs the same the first comes first. */
function partsOf(wishes: SittingWishes, kind: DayKind): readonly Weighed[] {
  const { ahead } = stateOf(wishes);
  const later = laterThings(wishes);
  const due = dueThings(wishes);
  const inSet = wishes.charts.some((one) => one.inSet);
  const walked = ahead.length === 0;
  // Hard places of a chart are for players who have walked the path, or have a set to play.
  const hard = walked || inSet ? hardThings(wishes, kind === 'hard' ? 3 : 2) : [];
  // On the days before a set nothing is begun: only what is known holds.
  const fresh = walked && (!inSet || kind === 'new' || kind === 'further') ? freshThing(wishes) : null;
  const step = stepFor(wishes, kind);
  // What else was begun comes with it on days that bring nothing new: it waits for its second day.
  const begun = kind === 'new' || kind === 'further' ? [] : ahead.filter((one) => one.begun && one !== step);
  const learned = step ? [step, ...begun.slice(0, 1)] : [];
  const news = step || !fresh ? learned.map((one) => stepThing(one, stepReason(one))) : [fresh];
  const ways = step ? waysOf(step, dayNumber(wishes)) : [];
  const rest = weighed(fillers(wishes), 0.5);
  // Changes by ear, while the hand rests; not when a set is near.
  const ear = weighed(earThings(wishes).slice(0, 1), 1.1);
  // What was marked in a set comes before all else.
  const marked = [
    ...weighed(later.slice(0, 3), 4),
    // On the day of a set, nothing is practised that does not hold yet.
    ...(kind === 'stage' ? [] : weighed(lateThings(wishes).slice(0, 2), 1.5)),
  ];
  switch (kind) {
    case 'new':
    case 'further':
      return [
        ...marked,
        ...weighed(news, 3),
        ...weighed(due.slice(0, 3), 1),
        ...weighed(ways.slice(0, 2), 1),
        ...ear,
        ...weighed(hard.slice(0, 2), 1),
        ...rest,
      ];
    case 'settle':
      return [
        ...marked,
        ...weighed(news, 2),
        ...weighed(ways.slice(0, 3), 1.2),
        ...ear,
        ...weighed(due.slice(0, 2), 1),
        ...weighed(oldThings(wishes).slice(0, 3), 0.8),
        ...rest,
      ];
    case 'time':
      return [
        ...marked,
        ...weighed(timeThings(wishes), 1.6),
        ...ear,
        ...weighed(news, 2),
        ...weighed(due.slice(0, 2), 1),
        ...rest,
      ];
    case 'mixed':
      return [
        ...marked,
        ...weighed(due.slice(0, 4), 1.5),
        ...weighed(news, 2),
        ...ear,
        ...weighed(oldThings(wishes).slice(0, 4), 1),
        ...weighed(hard.slice(0, 2), 0.8),
        ...rest,
      ];
    case 'hard':
      return [...marked, ...weighed(hard.slice(0, 4), 2), ...weighed(due.slice(0, 2), 1), ...rest];
    case 'stage':
      return weighed(firstStrokes(wishes), 1);
    case 'after':
      return [...weighed(later, 4), ...weighed(due.slice(0, 4), 1), ...rest];
    default:
      return rest;
  }
}

/** One stroke a chord of the songs that will be played: the hand is there, and nothing is practised. */
function firstStrokes(wishes: SittingWishes): readonly Wanted[] {
  return chartWayThings(wishes, ['ring']).slice(0, 4);
}

/** The step of the path that a day takes: what was begun, or where the day brings new things, what comes next. */
function stepFor(wishes: SittingWishes, kind: DayKind): StepState | null {
  const { ahead } = stateOf(wishes);
  const begun = ahead.filter((one) => one.begun);
  const lastAt = ({ step }: StepState): number =>
    wishes.entries.findLast((entry) => entry.step === step.id)?.at ?? 0;
  const latest = begun.toSorted((one, other) => lastAt(other) - lastAt(one));
  switch (kind) {
    case 'new':
      return begun[0] ?? ahead[0] ?? null;
    case 'further':
      // A second strand, where one is open: what waits while another is practised is learned as well.
      return ahead.find((one) => one !== latest[0]) ?? ahead[0] ?? null;
    case 'time':
    case 'mixed':
      return latest[0] ?? ahead[0] ?? null;
    default:
      return latest[0] ?? null;
  }
}

function stepReason({ step, keysDone, best }: StepState): string {
  const so = best > 0 ? `; ${Math.round(best)} was clean last time` : '';
  const keys = keysDone.length > 0 ? `; done in ${keysDone.join(', ')}` : '';
  return `${step.title} is done with ${doneWhen(step)}${so}${keys}`;
}

function waysOf(state: StepState, day: number): readonly Wanted[] {
  return turned(state.step.ways, day).map((way) => wayThing(state, way));
}

/** The right hand and steady time, on what is known best; a player who has finished the path has songs for it. */
function timeThings(wishes: SittingWishes): readonly Wanted[] {
  const { ahead } = stateOf(wishes);
  const known = newestKnown(wishes);
  const ways = ['gaps', 'damped'] as const;
  if ((ahead.length === 0 || !known) && wishes.charts.length > 0) {
    const [gaps = [], damped = []] = ways.map((way) =>
      turned(chartWayThings(wishes, [way]), dayNumber(wishes)),
    );
    return [...gaps.slice(0, 1), ...damped.slice(0, 1), ...gaps.slice(1, 3)];
  }
  return known ? ways.map((way) => ({ ...wayThing(known, way), why: wayReasons[way] ?? '' })) : [];
}

/** The newest step that is done, else the one that is begun, else the first. */
function newestKnown(wishes: SittingWishes): StepState | null {
  const { steps } = stateOf(wishes);
  const real = steps.filter(({ step }) => step.chart !== null);
  return real.findLast(({ done }) => done) ?? real.findLast(({ begun }) => begun) ?? real[0] ?? null;
}

/** Things that always exist, in case there is little else: other ways to practise what is known. */
function fillers(wishes: SittingWishes): readonly Wanted[] {
  const { ahead } = stateOf(wishes);
  const day = dayNumber(wishes);
  if (ahead.length === 0 && wishes.charts.length > 0)
    return turned(chartWayThings(wishes, ['order', 'ring', 'gaps']), day);
  const known = newestKnown(wishes);
  return known ? waysOf(known, day) : [];
}

function unique(things: readonly Weighed[]): readonly Weighed[] {
  return things.filter(
    ({ thing }, index) => things.findIndex((other) => other.thing.id === thing.id) === index,
  );
}
