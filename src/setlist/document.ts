import type { Chart } from '../chart/chart.js';
import { Faults, type Reading } from '../chart/fault.js';
import { readChartEntries } from '../chart/read.js';
import { parseYaml } from '../chart/yaml-source.js';
import type { Instrument } from '../hand/instrument.js';
import { readInstrument } from '../hand/read-instrument.js';
import type { Pattern } from '../time/pattern.js';
import { readPattern } from '../time/read-pattern.js';
import { readSetEntries, type SetList } from './set.js';

/** What a file holds; its kind is known by its names: `charts` a set, `courses` an instrument, `strokes` a pattern, everything else a chart. */
export type DocumentContent =
  | { readonly kind: 'instrument'; readonly instrument: Instrument }
  | { readonly kind: 'pattern'; readonly pattern: Pattern }
  | { readonly kind: 'chart'; readonly chart: Chart }
  | { readonly kind: 'set'; readonly set: SetList };

/** Reads a file's bytes as whatever it is. Never throws, whatever the bytes are. */
export function readDocument(bytes: Uint8Array): Reading<DocumentContent> {
  const faults = new Faults();
  const source = parseYaml(bytes, faults);
  if (!source) return faults.refused();
  if (source.entries.some((entry) => entry.name === 'charts')) {
    const read = readSetEntries(source.entries, faults);
    return read.ok ? { ...read, value: { kind: 'set', set: read.value } } : read;
  }
  if (
    source.entries.some((entry) => entry.name === 'courses') &&
    !source.entries.some((entry) => entry.name === 'sections')
  ) {
    const read = readInstrument(source, faults);
    return read.ok ? { ...read, value: { kind: 'instrument', instrument: read.value } } : read;
  }
  if (source.entries.some((entry) => entry.name === 'strokes')) {
    const pattern = readPattern(source.entries, faults);
    return faults.with({ kind: 'pattern', pattern });
  }
  const read = readChartEntries(source, faults);
  return read.ok ? { ...read, value: { kind: 'chart', chart: read.value } } : read;
}
