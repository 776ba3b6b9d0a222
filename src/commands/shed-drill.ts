import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { writeChart } from '../chart/write.js';
import { changesOf } from '../hand/changes.js';
import { planHand } from '../hand/plan.js';
import { type Drill, drillKinds, strainCaution } from '../shed/drill.js';
import { drillsFor } from '../shed/drills.js';
import { seeded } from '../shed/seeded.js';
import { exit, print, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { loadChart } from './load.js';
import { planOf } from './plan-flags.js';
import { keyFlag, wholeFlag } from './play-options.js';
import { settingsOf } from './shed-common.js';

/** What `shed drill` can be told. */
export interface DrillFlags {
  readonly key?: string;
  readonly bar?: string;
  readonly seed?: string;
}

/** The drills that can be made from a chart, or one of them as a chart, to be played or kept. */
export function shedDrill(file: string, kind: string | undefined, flags: DrillFlags): number {
  const read = loadChart(file);
  const chart: Chart = flags.key === undefined ? read : { ...read, key: keyFlag(flags.key) };
  const bars = unroll(chart).bars;
  const bar = flags.bar === undefined ? 0 : wholeFlag('bar', flags.bar, 1, bars.length) - 1;
  const seed = flags.seed === undefined ? 1 : wholeFlag('seed', flags.seed, 0, 4_294_967_295);
  const plan = planHand(changesOf(bars), instrumentOf(chart), planOf(settingsOf(null)));
  const drills = drillsFor(chart, plan, bar, seeded(seed));
  if (kind === undefined) {
    for (const drill of drills) print(`${drill.kind.padEnd(10)} ${drill.title}\n           ${drill.says}`);
    print(`\n${strainCaution}`);
    return exit.done;
  }
  print(writeChart(drillNamed(drills, kind).chart).trimEnd());
  return exit.done;
}

function drillNamed(drills: readonly Drill[], kind: string): Drill {
  const drill = drills.find((one) => one.kind === kind);
  if (drill) return drill;
  const names = Object.keys(drillKinds).filter((name) => name !== 'unseen');
  throw new Stop(
    exit.call,
    names.includes(kind)
      ? `“${kind}” cannot be made from this chart`
      : `“${safeText(kind)}” is no drill${didYouMean(kind, names)}`,
    `there are ${drills.map((one) => one.kind).join(', ')}`,
  );
}
