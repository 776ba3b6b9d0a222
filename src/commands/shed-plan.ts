import { resolve } from 'node:path';
import { dayKinds } from '../shed/day-kind.js';
import { strainCaution } from '../shed/drill.js';
import { planText } from '../shed/plan-write.js';
import { minutesOf } from '../shed/sitting-item.js';
import { dayOf } from '../shed/summary.js';
import { type PlannedDay, weekPlan } from '../shed/week-plan.js';
import { exit, print, printDocument, say } from './exit.js';
import { tryWrite } from './export-out.js';
import { planName } from './load-plan.js';
import { setDayOf, type WishFlags, wishesAt } from './shed-wishes.js';
import { sittingText } from './sitting-text.js';

/** The options of `shed plan`. */
export interface WeekFlags extends WishFlags {
  readonly output?: string;
  readonly text?: boolean;
  readonly force?: boolean;
}

/** A week of sittings for somebody: a plan's file, or text to be handed over. */
export function shedPlan(name: string, flags: WeekFlags): number {
  const now = Date.now();
  const wishes = wishesAt({ ...flags, who: name }, now);
  const days = weekPlan(wishes, setDayOf(flags));
  const title = `Practice for ${name}, the week from ${dayOf(now)}`;
  if (flags.text) {
    print(title, '', ...weekText(days), strainCaution);
    return exit.done;
  }
  const named = days.map((day) => ({
    ...day,
    items: day.items.map((item) =>
      item.kind === 'drill' && item.task?.kind === 'chart'
        ? { ...item, task: { ...item.task, file: planName(item.task.file) } }
        : item,
    ),
  }));
  const text = planText(title, name, named);
  if (flags.output === undefined || flags.output === '-') {
    printDocument(text);
    return exit.done;
  }
  const path = resolve(flags.output);
  const refused = tryWrite(path, text, flags.force ?? false);
  if (refused) throw refused;
  say(path);
  return exit.done;
}

function weekText(days: readonly PlannedDay[]): readonly string[] {
  return days.flatMap(({ at, kind, items }) => [
    items.length === 0
      ? `${dayOf(at)}  ${dayKinds[kind]}`
      : `${dayOf(at)}  about ${Math.round(minutesOf(items))} minutes: ${dayKinds[kind]}`,
    ...sittingText(items),
    '',
  ]);
}
