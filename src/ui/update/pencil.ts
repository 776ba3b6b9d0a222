import type { BarSource, Chart } from '../../chart/chart.js';
import { barText, editBar } from '../../chart/edit-bar.js';
import { readChart } from '../../chart/read.js';
import type { Model, Stand, Updated } from '../model.js';
import { passView } from '../pass-view.js';
import { askArrangement } from './arranging.js';
import { openEntry } from './entry.js';

/** Opens the bar under the cursor to be written anew, in the chart's own notation. */
export function openBar(model: Model, stand: Stand): Updated {
  const source = sourceAt(stand);
  const written = source && barText(stand.source, stand.chart, source);
  if (!written)
    return {
      model: { ...model, notice: 'this bar cannot be written here; edit the file' },
      effects: [],
    };
  return openEntry(
    model,
    'bar',
    `bar ${stand.cursor.bar + 1} of the pass, in ${sectionName(stand, source)}`,
    written.text,
    source,
  );
}

/** What is wrong with a bar that is being typed; empty when nothing is. */
export function barFault(stand: Stand, source: BarSource | null, text: string): string {
  if (!source) return 'there is no bar here';
  const read = editBar(stand.source, stand.chart, source, text.trim());
  return read.ok ? '' : (read.faults[0]?.message ?? 'this cannot be read');
}

/** The typed bar takes the place of the one in the file, and the music goes on with it. */
export function writeBar(model: Model, stand: Stand, source: BarSource | null, text: string): Updated {
  const read = source && editBar(stand.source, stand.chart, source, text);
  if (!read?.ok || read.value.text === stand.source) return { model, effects: [] };
  return rewritten(model, stand, read.value, [...stand.earlier, stand.source].slice(-mostEarlier));
}

/** Texts that can be taken back. */
const mostEarlier = 50;

/** The text before the last writing is the chart again. */
export function takeBack(model: Model, stand: Stand): Updated {
  const text = stand.earlier.at(-1);
  if (text === undefined)
    return { model: { ...model, notice: 'nothing was written here that could be taken back' }, effects: [] };
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) return { model, effects: [] };
  return rewritten(model, stand, { text, chart: read.value }, stand.earlier.slice(0, -1));
}

function rewritten(
  model: Model,
  stand: Stand,
  { text, chart }: { text: string; chart: Chart },
  earlier: readonly string[],
): Updated {
  const next: Stand = { ...stand, chart, source: text, earlier };
  const asked = askArrangement({ ...model, stand: next });
  return {
    model: asked.model,
    effects: [{ kind: 'write', file: stand.file, text, before: stand.source }, ...asked.effects],
  };
}

function sourceAt(stand: Stand): BarSource | null {
  return passView(stand)?.bars[stand.cursor.bar]?.source ?? null;
}

function sectionName({ chart }: Stand, source: BarSource | null): string {
  return (source && chart.sections[source.section]?.name) ?? '';
}
