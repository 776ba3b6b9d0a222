import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { writeChart } from '../chart/write.js';
import { changesOf } from '../hand/changes.js';
import { planHand } from '../hand/plan.js';
import { type Drill, type DrillKind, drillKinds, madeElsewhere, strainCaution } from '../shed/drill.js';
import { drillsFor, pairDrill } from '../shed/drills.js';
import { seeded } from '../shed/seeded.js';
import { type NumberChord, parseNumber } from '../theory/number.js';
import { exit, print, printDocument, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { loadChart } from './load.js';
import { keyFlag } from './play-options.js';
import { planOf, settingsOf } from './settings.js';
import { wholeFlag } from './whole-flag.js';

/** What `shed drill` can be told. */
export interface DrillFlags {
  readonly key?: string;
  readonly bar?: string;
  readonly seed?: number;
  readonly chords?: string;
  readonly bars?: number;
}

/** The drills that can be made from a chart, or one of them as a chart, to be played or kept. */
export function shedDrill(file: string, kind: string | undefined, flags: DrillFlags): number {
  const read = loadChart(file);
  const chart: Chart = flags.key === undefined ? read : { ...read, key: keyFlag(flags.key) };
  const bars = unroll(chart).bars;
  const bar = flags.bar === undefined ? 0 : wholeFlag('bar', flags.bar, 1, bars.length) - 1;
  const plan = planHand(changesOf(bars), instrumentOf(chart), planOf(settingsOf(null)));
  const drills = drillsFor(chart, plan, bar, seeded(flags.seed ?? 1));
  if (flags.chords !== undefined) {
    const [one, other] = chordsFlag(flags.chords);
    printDocument(writeChart(pairDrill(chart, one, other, flags.bars ?? 1).chart));
    return exit.done;
  }
  if (kind === undefined) {
    for (const drill of drills) print(`${drill.kind.padEnd(10)} ${drill.title}`, `           ${drill.says}`);
    print('', strainCaution);
    return exit.done;
  }
  printDocument(writeChart(drillNamed(drills, kind).chart));
  return exit.done;
}

/** Reads `--chords 1,6-`: any two numbers. */
function chordsFlag(text: string): readonly [NumberChord, NumberChord] {
  const read = text.split(',').map((word) => parseNumber(word.trim()));
  for (const one of read) if (!one.ok) throw new Stop(exit.call, `--chords ${one.fault.message}`);
  const [one, other] = read.flatMap((outcome) => (outcome.ok ? [outcome.value] : []));
  if (read.length === 2 && one && other) return [one, other];
  throw new Stop(exit.call, `--chords “${safeText(text)}” is not two numbers`, 'write --chords 1,6-');
}

function drillNamed(drills: readonly Drill[], kind: string): Drill {
  const drill = drills.find((one) => one.kind === kind);
  if (drill) return drill;
  const names = (Object.keys(drillKinds) as DrillKind[]).filter((name) => !madeElsewhere.includes(name));
  throw new Stop(
    exit.call,
    names.some((name) => name === kind)
      ? `“${kind}” cannot be made from this chart`
      : `“${safeText(kind)}” is no drill${didYouMean(kind, names)}`,
    `there are ${drills.map((one) => one.kind).join(', ')}`,
  );
}
