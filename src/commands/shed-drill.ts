import { existsSync } from 'node:fs';
import { didYouMean } from '../base/nearest.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { changesOf } from '../hand/changes.js';
import { planHand } from '../hand/plan.js';
import {
  type Drill,
  type DrillKind,
  drillKinds,
  type KeyDrillKind,
  keyDrillKinds,
  madeElsewhere,
  strainCaution,
} from '../shed/drill.js';
import { drillsFor, keyDrill, pairDrill } from '../shed/drills.js';
import { bareChart } from '../shed/make-chart.js';
import { seeded } from '../shed/seeded.js';
import { type NumberChord, parseNumber } from '../theory/number.js';
import { exit, print, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { loadChart } from './load.js';
import { openDrill } from './open-drill.js';
import { keyFlag, tempoFlag } from './play-options.js';
import { planOf, settingsOf } from './settings.js';
import { keptKey, type StandFlags, whoFlag } from './shed-common.js';
import { wholeFlag } from './whole-flag.js';

/** The options of `shed drill`. */
export interface DrillFlags extends StandFlags {
  readonly key?: string;
  readonly bar?: string;
  readonly seed?: number;
  readonly chords?: string;
  readonly bars?: number;
  readonly tempo?: string;
  readonly who?: string;
}

/** The tempo of a drill that needs no chart, quarters a minute. */
const bareTempo = 120;

/** The drills that can be made from a chart; or one of them, on the stand or as a chart. Answers the exit status. */
export async function shedDrill(file: string, kind: string | undefined, flags: DrillFlags): Promise<number> {
  const who = whoFlag(flags.who);
  const plan = planOf(settingsOf(who));
  const needless = keyDrillKinds.find((one) => one === file);
  if (needless && kind === undefined && !existsSync(file)) {
    const base = wished(bareChart(keyFlag('G'), bareTempo), flags);
    return openDrill(ofKey(base, needless, plan), flags, who);
  }
  const read = loadChart(file);
  const chart = wished({ ...read, key: keptKey(file, read) }, flags);
  if (flags.chords !== undefined) {
    const [one, other] = chordsFlag(flags.chords);
    return openDrill(pairDrill(chart, one, other, flags.bars ?? 1), flags, who);
  }
  const bars = unroll(chart).bars;
  const bar = flags.bar === undefined ? 0 : wholeFlag('bar', flags.bar, 1, bars.length) - 1;
  const planned = planHand(changesOf(bars), instrumentOf(chart), plan);
  const drills = drillsFor(chart, planned, bar, seeded(flags.seed ?? 1), plan);
  if (kind !== undefined) return openDrill(drillNamed(drills, kind), flags, who);
  for (const drill of drills) print(`${drill.kind.padEnd(12)} ${drill.title}`, `             ${drill.says}`);
  print('', strainCaution);
  return exit.done;
}

/** A chart in the key and tempo that the flags want. */
function wished(chart: Chart, { key, tempo }: DrillFlags): Chart {
  return {
    ...chart,
    key: key === undefined ? chart.key : keyFlag(key),
    tempo:
      tempo === undefined ? chart.tempo : { ...chart.tempo, bpm: Math.round(tempoFlag(tempo, chart.tempo)) },
  };
}

function ofKey(base: Chart, kind: KeyDrillKind, plan: ReturnType<typeof planOf>): Drill {
  const drill = keyDrill(base, kind, { instrument: instrumentOf(base), plan });
  if (!drill) throw new Stop(exit.machine, 'the drill cannot be made', 'please report it');
  return drill;
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
      : `“${safeText(kind)}” is not a drill${didYouMean(kind, names)}`,
    `there are ${[...new Set(drills.map((one) => one.kind))].join(', ')}`,
  );
}
