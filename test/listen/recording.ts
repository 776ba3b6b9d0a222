import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { judgeTake } from '../../src/listen/judge-take.js';
import type { OwnSounds } from '../../src/listen/own-sounds.js';
import { passPlan } from '../../src/listen/pass-plan.js';
import type { PassPlan, Take } from '../../src/listen/take.js';
import { bytesOf, openWav, type Wav } from '../../src/listen/wav.js';
import { hearWav } from '../../src/listen/wav-strokes.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { type ArrangeOptions, arrange } from '../../src/time/arrange.js';

/** Samples as a recording of 16 bits. */
export function recording(samples: Float32Array, rate: number): Wav {
  const sound = wavSamples(samples);
  const opened = openWav(bytesOf(Buffer.concat([wavHeader(rate, sound.length), sound])));
  if (!opened.ok) throw new Error(opened.fault);
  return opened.value;
}

/** The pass of a demo chart in its own key, its first so many bars, and its tempo. */
export function demoPlan(name: string, bars: number): PassPlan & { readonly bpm: number } {
  const read = readChart(readFileSync(join('charts', `${name}.yaml`)));
  if (!read.ok) throw new Error(name);
  return planOf(read.value, bars);
}

/** The pass of a chart that is written here. */
export function writtenPlan(written: string): PassPlan & { readonly bpm: number } {
  const read = readChart(Buffer.from(written));
  if (!read.ok) throw new Error(JSON.stringify(read));
  return planOf(read.value, Number.POSITIVE_INFINITY);
}

function planOf(chart: Parameters<typeof arrange>[0], bars: number): PassPlan & { readonly bpm: number } {
  const options: ArrangeOptions = { key: chart.key, instrument: mandolin, share: 1 };
  const plan = passPlan(chart, arrange(chart, options), options);
  return { ...plan, expected: plan.expected.filter(({ bar }) => bar < bars), bpm: chart.tempo.bpm };
}

/** All that is heard of a recording. */
export function heardIn(wav: Wav, own?: OwnSounds) {
  return finished(hearWav(wav, own)).strokes;
}

/** What is made of a recording of a pass. `slowness`: of the tempo that is told. */
export function judgedTake(
  wav: Wav,
  plan: PassPlan,
  { slowness = null, own }: { readonly slowness?: number | null; readonly own?: OwnSounds } = {},
): Take {
  return finished(judgeTake(wav, heardIn(wav, own), { plans: [plan], slowness, level: 'steady' }));
}

function finished<T>(work: Generator<number, T>): T {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
  }
}
