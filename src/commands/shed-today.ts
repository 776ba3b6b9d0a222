import { jsonText } from '../base/json.js';
import { type DayKind, dayKind, dayKinds } from '../shed/day-kind.js';
import { tunesOf } from '../shed/ear-things.js';
import { dayFor, itemsOfDay } from '../shed/plan-items.js';
import { minutesOf, type SittingItem } from '../shed/sitting-item.js';
import { dayOf } from '../shed/summary.js';
import { sitting } from '../shed/today.js';
import { usualClick } from '../time/click.js';
import { exit, print, printDocument, Stop, say } from './exit.js';
import { refuseListening } from './listening-flags.js';
import { chartFinder, goodPlan } from './load-plan.js';
import { screenLack } from './screen.js';
import { diaryOf, practiceCharts, type StandFlags, standFlags, whoFlag } from './shed-common.js';
import { dateFlag, setDayOf, type WishFlags, wishesAt } from './shed-wishes.js';
import { cautionedSitting, itemJson } from './sitting-text.js';
import { canBeTyped } from './typed-input.js';

/** The options of `shed today`. */
export interface TodayFlags extends WishFlags, StandFlags {
  readonly day?: string;
  readonly plan?: string;
  readonly date?: string;
  readonly check?: boolean;
  readonly json?: boolean;
}

/** A sitting and what kind of day it is for; `null` for a day of a plan that does not say. */
interface Day {
  readonly kind: DayKind | null;
  readonly items: readonly SittingItem[];
}

/** What to practise today, and for how long: on the stand, or as text where there is no terminal or JSON is asked for. */
export async function shedToday(flags: TodayFlags): Promise<number> {
  if (flags.plan === undefined && (flags.check || flags.date !== undefined))
    throw new Stop(
      exit.call,
      `--${flags.check ? 'check' : 'date'} is an option for a plan, but no plan was named`,
      'write --plan FILE',
    );
  const now = Date.now();
  const { kind, items } = flags.plan === undefined ? ownDay(flags, now) : plannedDay(flags.plan, flags, now);
  if (flags.check) {
    print(`${flags.plan}: no errors; ${items.length} things to do, ${minutesOf(items)} minutes`);
    return exit.done;
  }
  if (flags.json) {
    printDocument(jsonText({ day: kind, minutes: minutesOf(items), items: items.map(itemJson) }));
    return exit.done;
  }
  const first = items.find((item) => item.kind === 'drill');
  if (first?.kind !== 'drill') {
    print(`Today is for ${dayKinds[kind ?? 'rest']}.`, 'To play anyway, use --day songs.');
    return exit.done;
  }
  const lack = screenLack();
  const typed = flags.plain === true && (await canBeTyped());
  if (!typed && (flags.plain || lack !== null)) {
    refuseListening(flags, lack ?? 'there is nothing that commands could be typed on');
    if (kind) print(`${dayOf(now)}: ${dayKinds[kind]}`);
    print(...cautionedSitting(items, flags.plain ? 'words' : 'signs'));
    return exit.done;
  }
  const { openStand } = await import('./stand.js');
  const { standStart } = await import('./stand-start.js');
  return openStand({
    ...(typed ? { plain: { begins: false } } : {}),
    flags: standFlags(flags),
    who: whoFlag(flags.who),
    first: ({ settings }) => ({
      kind: 'sitting',
      items,
      start: { ...standStart(first.drill.chart, null, {}, settings), click: usualClick },
      at: Number(process.hrtime.bigint()) / 1e6,
    }),
  });
}

function ownDay(flags: TodayFlags, now: number): Day {
  const wishes = wishesAt(flags, now);
  const asked = (Object.keys(dayKinds) as DayKind[]).find((one) => one === flags.day);
  const kind = asked ?? dayKind(wishes.entries, now, setDayOf(flags));
  return { kind, items: sitting(wishes, kind) };
}

/** The sitting that a plan has for today, or for the date that is asked for. */
function plannedDay(file: string, flags: TodayFlags, now: number): Day {
  const plan = goodPlan(file);
  const date = dayOf(flags.date === undefined ? now : dateFlag('date', flags.date));
  // What is checked are all days.
  const day = flags.check
    ? { date: null, kind: null, entries: plan.days.flatMap(({ entries }) => entries) }
    : dayFor(plan.days, date);
  if (!day) {
    const dates = plan.days.flatMap((one) => (one.date === null ? [] : [one.date]));
    throw new Stop(
      exit.call,
      `the plan has nothing for ${date}`,
      dates.length === 0
        ? 'the days of the plan have no dates'
        : `the plan has ${dates.join(', ')}: --date ${dates[0]}`,
    );
  }
  const seed = Math.floor(now / 86_400_000) * 100;
  const who = whoFlag(flags.who);
  const hasEar = day.entries.some((entry) => entry.kind === 'task' && entry.task.kind === 'ear');
  const ear = hasEar
    ? { entries: diaryOf(who).entries, now, tunes: tunesOf({ charts: practiceCharts(flags.set) }) }
    : undefined;
  const sources = { chartOf: chartFinder(file), seed, ...(ear && { ear }) };
  const { items, faults } = itemsOfDay(day, sources, plan.title);
  for (const fault of faults) say(`${file}:${fault.line}:${fault.column}: ${fault.message}; it is left out`);
  return { kind: day.kind ?? (items.length === 0 ? 'rest' : null), items };
}
