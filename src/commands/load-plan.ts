import { basename, dirname, join, resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { type Fault, Faults } from '../chart/fault.js';
import { Oversized, readInput, Unreadable } from '../config/files.js';
import { folders } from '../config/folders.js';
import { isPlanText, type PracticePlan, readPlan } from '../shed/plan-file.js';
import { itemsOfDay } from '../shed/plan-items.js';
import { exit, Stop, say } from './exit.js';
import { chartOf, count, faultText, type Loaded } from './load.js';

/** A plan's file as it was read. `plan` is `null` where it has errors. */
export interface LoadedPlan extends Pick<Loaded, 'file' | 'faults' | 'untold' | 'lines'> {
  readonly plan: PracticePlan | null;
}

/** The chart that a plan names: from the plan's own folder, else among the player's own or the demo charts. */
export function chartFinder(planFile: string): (name: string) => Chart | null {
  const known = new Map<string, Chart | null>();
  return (name) => {
    const found = known.get(name);
    if (found !== undefined) return found;
    const places = [
      resolve(dirname(planFile), name),
      join(folders.charts, basename(name)),
      join(folders.demo, basename(name)),
    ];
    const chart = places.reduce<Chart | null>((before, path) => before ?? readable(path), null);
    known.set(name, chart);
    return chart;
  };
}

function readable(path: string): Chart | null {
  const read = chartOf(path);
  return read.ok ? read.value.chart : null;
}

/** How a plan names a chart, so that it is found on another machine as well. */
export function planName(file: string): string {
  return [folders.charts, folders.demo].includes(dirname(file)) ? basename(file) : file;
}

/** Reads a plan's file with every fault of it, of its charts too; `null` where the file is not a plan. */
export function loadPlan(file: string): LoadedPlan | null {
  let bytes: Uint8Array;
  try {
    bytes = readInput(file);
  } catch (error) {
    if (error instanceof Oversized) return null;
    if (error instanceof Unreadable)
      throw new Stop(
        exit.call,
        safeText(error.message),
        'name a plan: barkline shed plan NAME -o FILE writes one',
      );
    throw error;
  }
  if (!isPlanText(bytes)) return null;
  const read = readPlan(bytes);
  const all = new Faults();
  for (const fault of read.faults) all.add(fault);
  if (read.ok) for (const fault of unmakeable(read.value, file)) all.add(fault);
  const faults = all.sorted();
  const lines =
    faults.length > 0
      ? new TextDecoder()
          .decode(bytes)
          .replace(/^\ufeff/, '')
          .split('\n')
      : [];
  const untold = 'untold' in read && read.untold ? { untold: read.untold } : {};
  return { file, plan: read.ok && !all.failed ? read.value : null, faults, lines, ...untold };
}

function unmakeable(plan: PracticePlan, file: string): readonly Fault[] {
  const sources = { chartOf: chartFinder(file), seed: 1 };
  return plan.days.flatMap((day) => itemsOfDay(day, sources, plan.title).faults);
}

/** A plan that must be good; its mistakes are reported on stderr. */
export function goodPlan(file: string): PracticePlan {
  const loaded = loadPlan(file);
  if (!loaded)
    throw new Stop(
      exit.call,
      `${safeText(file)} is not a plan`,
      'a plan starts with “plan:” and a title; barkline shed plan NAME writes one',
    );
  for (const fault of loaded.faults) say(...faultText(loaded, fault));
  if (loaded.plan) return loaded.plan;
  throw new Stop(
    exit.input,
    `${safeText(file)} has ${count(loaded.faults, loaded.untold)}`,
    'correct the errors above; barkline check FILE lists them again',
  );
}
