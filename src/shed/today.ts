import { type Chart, quarterTempo } from '../chart/chart.js';
import { readChart } from '../chart/read.js';
import { unroll } from '../chart/unroll.js';
import { changesOf } from '../hand/changes.js';
import { hardChanges } from '../hand/hard-changes.js';
import type { Instrument } from '../hand/instrument.js';
import { type HandPlan, type PlanOptions, planHand } from '../hand/plan.js';
import { parseKey } from '../theory/key.js';
import { numberText, parseNumber } from '../theory/number.js';
import { changeId } from './change-id.js';
import type { DiaryEntry } from './diary.js';
import type { Drill } from './drill.js';
import { chainDrill, fretDrill, pairDrill, phraseAt, ringDrill } from './drills.js';
import { laterDrill, openMarks } from './later.js';
import { madeChart } from './make-chart.js';
import { type DueChange, dueChanges } from './review.js';
import type { SittingItem } from './sitting-item.js';
import { dayOf } from './summary.js';

/** What a sitting is planned from. */
export interface SittingWishes {
  readonly entries: readonly DiaryEntry[];
  /** Charts to practise with: those of the next set first, then the player's others. */
  readonly charts: readonly { readonly chart: Chart; readonly inSet: boolean }[];
  readonly minutes: number;
  /** ms since 1970. */
  readonly now: number;
  readonly instrument: Instrument;
  readonly plan: Partial<PlanOptions>;
  /** Share of a chart's tempo that is aimed at. */
  readonly target: number;
}

/** Minutes of a block: short, so that they can be mixed. */
const blockMinutes = 2;
/** Minutes of the warm-up. */
const warmMinutes = 2;
/** Blocks between two rests, and how long a rest is. */
const blocksToRest = 3;
const restSeconds = 45;

/** A thing that wants practice, before it is put in order. */
interface Wanted {
  readonly drill: Drill;
  readonly why: string;
  readonly key: string;
  readonly id: string;
}

/**
 * Plans a sitting: a warm-up first; then what was marked to be looked at later, what is due, what is hard in the next set, and one thing that is new, in turns
 * rather than one after the other (alternating is retained better in some studies: Carter and Grahn 2016); rests between.
 */
export function sitting(wishes: SittingWishes): readonly SittingItem[] {
  const [first] = wishes.charts;
  if (!first) return [];
  const blocks = Math.max(1, Math.floor((wishes.minutes - warmMinutes) / blockMinutes));
  const wanted = wantedThings(wishes);
  const chosen = wanted.slice(0, Math.max(1, Math.ceil(blocks / 2)));
  const warm: SittingItem = {
    kind: 'drill',
    drill: fretDrill(first.chart),
    minutes: warmMinutes,
    why: 'warm-up: slowly, with the fretting hand alone',
    key: '',
  };
  const items: SittingItem[] = [warm];
  for (let block = 0; block < blocks; block += 1) {
    if (block > 0 && block % blocksToRest === 0) items.push(restItem);
    const one = chosen[block % chosen.length];
    if (one)
      items.push({ kind: 'drill', drill: one.drill, minutes: blockMinutes, why: one.why, key: one.key });
  }
  return items;
}

const restItem: SittingItem = {
  kind: 'rest',
  seconds: restSeconds,
  says: 'let the hand hang, open and close it; if something hurts, that is all for today',
};

function wantedThings(wishes: SittingWishes): readonly Wanted[] {
  const later = laterThings(wishes);
  const due = dueThings(wishes);
  const hard = hardThings(wishes);
  const fresh = newThing(wishes);
  // One new thing only, and not last: it would fall off the end of a short sitting.
  const all = [
    ...later.slice(0, 3),
    ...due.slice(0, 2),
    ...hard.slice(0, 2),
    ...(fresh ? [fresh] : []),
    ...later.slice(3),
    ...due.slice(2),
    ...hard.slice(2),
  ];
  return all.filter((one, index) => all.findIndex((other) => other.id === one.id) === index);
}

/** What was marked while it was played. */
function laterThings({ entries, charts }: SittingWishes): Wanted[] {
  return openMarks(entries).flatMap((mark): Wanted[] => {
    const chart = charts.find((one) => one.chart.title === mark.title)?.chart;
    const drill = chart ? laterDrill(chart, mark) : null;
    const where = mark.set === null ? '' : ` in ${mark.set}`;
    const why = `marked on ${dayOf(mark.at)}${where}, at bar ${mark.bar}: look at this later`;
    return drill ? [{ drill, why, key: mark.key, id: `later ${drill.title}` }] : [];
  });
}

/** Changes whose day has come, the one that has waited longest first. */
function dueThings({ entries, charts, now, target }: SittingWishes): Wanted[] {
  const [base] = charts;
  if (!base) return [];
  return dueChanges(entries)
    .filter(({ card }) => card.due.getTime() <= now)
    .sort((one, other) => one.card.due.getTime() - other.card.due.getTime())
    .flatMap((change): Wanted[] => {
      const drill = drillOf(change, base.chart, target);
      const days = Math.floor((now - change.card.due.getTime()) / 86_400_000);
      const since = days === 0 ? 'due today' : `due for ${days} ${days === 1 ? 'day' : 'days'}`;
      const held = change.best > 0 ? `held ${Math.round(change.best)} last` : 'was not clean last';
      return drill ? [{ drill, key: change.key, id: change.id, why: `${since}; ${held}` }] : [];
    });
}

function drillOf(change: DueChange, base: Chart, share: number): Drill | null {
  const [from, to] = change.numbers.split('>').map((text) => parseNumber(text));
  const key = parseKey(change.key);
  if (!from?.ok || !to?.ok || !key.ok) return null;
  const tempo = {
    bpm: Math.max(20, Math.min(400, Math.round(change.target / share))),
    count: 'quarter',
  } as const;
  const home = madeChart(base, `the diary, ${change.key}`, [], [], {
    key: key.value,
    tempo,
    meter: { beats: 4, unit: 4 },
  });
  return pairDrill(home, from.value, to.value);
}

/** The hardest changes of the next set, or of what there is, that do not hold their tempo yet. */
function hardThings(wishes: SittingWishes): Wanted[] {
  const { charts, entries, target } = wishes;
  const held = new Map(dueChanges(entries).map((change) => [change.id, change.best]));
  const ofSet = charts.filter(({ inSet }) => inSet);
  return (ofSet.length > 0 ? ofSet : charts)
    .flatMap(({ chart, inSet }) => {
      const aim = quarterTempo(chart.tempo) * target;
      return hardChanges(planOf(chart, wishes))
        .slice(0, 2)
        .flatMap(({ from, to, ms }) => {
          if (!from.fingering || !to.fingering) return [];
          const id = changeId(from.fingering, to.fingering);
          if ((held.get(id) ?? 0) >= aim) return [];
          const name = `${numberText(from.number)} to ${numberText(to.number)}`;
          const why = `${name} is among the hardest of ${chart.title}${inSet ? ', which is in the next set' : ''}`;
          return [{ drill: pairDrill(chart, from.number, to.number), why, key: '', id, weight: ms }];
        });
    })
    .sort((one, other) => other.weight - one.weight);
}

/** One thing nobody has practised yet: a phrase of a chart that is not in the diary, or a way to play one that is. */
function newThing({ charts, entries }: SittingWishes): Wanted | null {
  const known = new Set(entries.map(({ title }) => title));
  const fresh = charts.find(
    ({ chart }) =>
      !known.has(chart.title) && ![...known].some((title) => title.endsWith(`of ${chart.title}`)),
  );
  if (fresh) {
    const { bars } = unroll(fresh.chart);
    const [from, to] = phraseAt(bars, 0);
    const end = Math.max(to, Math.min(bars.length, from + 4));
    return {
      drill: chainDrill(fresh.chart, bars, from, end),
      why: `new: ${fresh.chart.title} has not been practised yet`,
      key: '',
      id: `new ${fresh.chart.title}`,
    };
  }
  const [first] = charts;
  return first
    ? {
        drill: ringDrill(first.chart),
        why: 'another way to look at what you know',
        key: '',
        id: `ring ${first.chart.title}`,
      }
    : null;
}

function planOf(chart: Chart, { instrument, plan }: SittingWishes): HandPlan {
  return planHand(changesOf(unroll(chart).bars), instrument, plan);
}

/** A chart's text as a chart; `null` when it does not read. */
export function chartOfText(text: string): Chart | null {
  const read = readChart(new TextEncoder().encode(text));
  return read.ok ? read.value : null;
}
