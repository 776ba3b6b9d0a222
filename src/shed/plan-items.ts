import type { Fault } from '../chart/fault.js';
import type { PlanDay } from './plan-file.js';
import { restItem, type SittingItem } from './sitting-item.js';
import { drillOfTask, type TaskSources, taskName } from './task-drill.js';
import { twoNumbers } from './way-drill.js';

/** A day of a plan as a sitting, and what of it cannot be made, with its place. */
export function itemsOfDay(
  day: PlanDay,
  sources: TaskSources,
  plan: string,
): { readonly items: readonly SittingItem[]; readonly faults: readonly Fault[] } {
  const faults: Fault[] = [];
  const items = day.entries.flatMap((entry, index): SittingItem[] => {
    if (entry.kind === 'rest') return [{ ...restItem, seconds: entry.seconds }];
    const drill = drillOfTask(entry, { ...sources, seed: sources.seed + index });
    if (drill)
      return [
        {
          kind: 'drill',
          drill: { ...drill, plan },
          minutes: entry.minutes,
          why: entry.why,
          task: entry.task,
        },
      ];
    const { task } = entry;
    const missing = task.kind === 'chart' && !sources.chartOf(task.file);
    const message = missing
      ? `there is no chart ${taskName(task)} that can be read; its path begins at the plan’s own folder`
      : `${taskName(task)} cannot be practised that way${task.kind === 'chart' && task.chords && !twoNumbers(task.chords) ? ': write two numbers' : ''}`;
    faults.push({ ...entry.place, severity: 'error', message });
    return [];
  });
  return { items, faults };
}

/** The day of a plan for a date (`2026-11-30`): the one that has it, or the only one there is where that has none; `null` for none. */
export function dayFor(days: readonly PlanDay[], date: string): PlanDay | null {
  const [only] = days;
  const anyDay = days.length === 1 && only?.date === null ? only : null;
  return days.find((day) => day.date === date) ?? anyDay;
}
