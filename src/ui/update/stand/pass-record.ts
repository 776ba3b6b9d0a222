import { quarterTempo, type Tempo } from '../../../chart/chart.js';
import { passView } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import type { Setup } from '../../../playback/setup.js';
import { type ChangeName, changeNames } from '../../../shed/change-id.js';
import { keyName } from '../../../theory/key.js';
import type { PassRecord, StandMode } from '../../state/modes.js';
import { drillOf, fileOf } from '../../state/select.js';

/** The most changes that are kept of a pass. */
const mostChanges = 40;

/** What the diary keeps of playing a chart: its key and tempo as they are set, the changes met, and how long it took, ms. */
export function passRecord(
  { chart, bpm, key, pattern }: Setup,
  file: string,
  changes: readonly ChangeName[],
  ms: number,
): PassRecord {
  return {
    what: 'chart',
    drill: null,
    title: chart.title,
    file: file === '' ? null : file,
    changes: changes.slice(0, mostChanges).map(({ id, numbers }) => [id, numbers]),
    key: keyName(key),
    bpm: quarters({ ...chart.tempo, bpm }),
    target: quarters(chart.tempo),
    pattern: pattern?.name ?? chart.pattern,
    ms: Math.round(ms),
  };
}

/** The pass that lasted from `began` to `at` as the diary keeps it; `null` for one that was not a whole pass, or is not kept. */
export function wholePass(
  mode: StandMode,
  performance: Performance,
  began: number | null,
  at: number,
): PassRecord | null {
  const view = passView(performance);
  const drill = drillOf(mode)?.drill ?? null;
  // Where each chord waits for the hand, its bar repeats and does not count as a pass.
  if (!view || began === null || mode.kind === 'transcribe' || drill?.start.waits) return null;
  const { setup } = performance;
  const { from, to } = setup.range ?? { from: 0, to: view.bars.length };
  const part = from > 0 || to < view.bars.length;
  const changes = changeNames(view.plan.changes.filter(({ bar }) => bar >= from && bar < to));
  const record = passRecord(setup, fileOf(mode), changes, Math.max(0, at - began));
  return {
    ...record,
    what: drill || part ? 'drill' : 'chart',
    drill: drill?.kind ?? (part ? 'phrase' : null),
    title: part ? `bars ${from + 1} to ${to} of ${record.title}` : record.title,
    // A part of a step is not the step.
    ...(drill?.step === undefined || part ? {} : { step: drill.step }),
    ...(drill?.plan === undefined ? {} : { plan: drill.plan }),
  };
}

/** Quarters a minute, to a tenth. */
function quarters(tempo: Tempo): number {
  return Math.round(10 * quarterTempo(tempo)) / 10;
}
