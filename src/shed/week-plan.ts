import { quarterTempo } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { changesOf } from '../hand/changes.js';
import { planHand } from '../hand/plan.js';
import { keyName } from '../theory/key.js';
import { changeNames } from './change-id.js';
import { type DayKind, dayAfter, dayKind } from './day-kind.js';
import type { DiaryEntry } from './diary.js';
import { pathState } from './path-state.js';
import { stepNamed } from './path-steps.js';
import type { SittingItem } from './sitting-item.js';
import { sitting } from './today.js';
import type { SittingWishes } from './wanted.js';

/** A day of a week that is planned ahead. */
export interface PlannedDay {
  /** Its date, ms since 1970. */
  readonly at: number;
  readonly kind: DayKind;
  /** Nothing on a day of rest. */
  readonly items: readonly SittingItem[];
}

/** Days of a plan. */
const weekDays = 7;

/**
 * Seven days from now on, each planned as if those before had gone as usual: what is practised is then clean, more slowly on its first
 * day, and the schedule says when it comes again. `shed today` takes into account what really happens.
 *
 * @param setDay any time on the day of the next set; `null` for none
 */
export function weekPlan(wishes: SittingWishes, setDay: number | null): readonly PlannedDay[] {
  const entries = [...wishes.entries];
  return Array.from({ length: weekDays }, (_, index): PlannedDay => {
    const at = dayAfter(wishes.now, index);
    const today: SittingWishes = { ...wishes, entries, now: at };
    const kind = dayKind(entries, at, setDay);
    const items = sitting(today, kind);
    entries.push(...items.flatMap((item) => assumed(item, today)));
    return { at, kind, items };
  });
}

/** What an item leaves in the diary when it goes as usual: two clean passes, a step's first day at what it began with. */
function assumed(item: SittingItem, { entries, now, instrument, plan, marks }: SittingWishes): DiaryEntry[] {
  if (item.kind === 'rest') return [];
  const { drill, minutes } = item;
  const { chart, step } = drill;
  const target = quarterTempo(chart.tempo);
  const key = keyName(chart.key);
  const first =
    step !== undefined && !pathState(entries, marks).steps.some((one) => one.step.id === step && one.begun);
  const share = first ? firstDay : drill.start.ladder ? 1 : drill.start.share;
  const changes =
    drill.kind === 'pair' || (step !== undefined && stepNamed(step)?.chart !== null)
      ? changeNames(planHand(changesOf(unroll(chart).bars), instrument, plan).changes)
      : [];
  const entry: DiaryEntry = {
    at: now,
    what: 'drill',
    drill: drill.kind,
    title: drill.title,
    file: null,
    changes: changes.slice(0, 40).map(({ id, numbers }) => [id, numbers] as const),
    key,
    bpm: Math.round(target * share),
    target,
    pattern: null,
    result: drill.start.ladder || drill.kind === 'song' ? 'clean' : 'unmarked',
    ms: (minutes * 60_000) / 2,
    ...(step === undefined ? {} : { step }),
  };
  return [entry, { ...entry, at: now + 1 }];
}

/** Share of a step's tempo that is reached on its first day. */
const firstDay = 0.85;
