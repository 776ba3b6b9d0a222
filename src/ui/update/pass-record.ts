import { quarterTempo, type Tempo } from '../../chart/chart.js';
import type { ChangeName } from '../../shed/change-id.js';
import { keyName } from '../../theory/key.js';
import type { PassRecord, Stand } from '../model.js';

/** The most changes that are kept of a pass. */
const mostChanges = 40;

/** What the diary keeps of playing the chart on the stand: its key and tempo as they are set, the changes met, and how long it took, ms. */
export function passRecord(stand: Stand, changes: readonly ChangeName[], ms: number): PassRecord {
  const { chart, bpm, file, key, pattern } = stand;
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

/** Quarters a minute, to a tenth. */
function quarters(tempo: Tempo): number {
  return Math.round(10 * quarterTempo(tempo)) / 10;
}
