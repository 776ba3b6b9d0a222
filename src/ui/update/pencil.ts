import type { BarSource, Chart } from '../../chart/chart.js';
import { barText, editBar } from '../../chart/edit-bar.js';
import { readChart } from '../../chart/read.js';
import type { Message, Model, Stand, Updated } from '../model.js';
import { passView } from '../pass-view.js';
import { askArrangement } from './arranging.js';
import { openEntry } from './entry.js';
import { joined } from './joined.js';

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
  if (!read?.ok) return { model, effects: [] };
  // The same bar again: what a failed writing has left on the stand only is written now.
  if (read.value.text === stand.source) return save(model, stand);
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
  return joined(save({ ...model, stand: next }, next), askArrangement);
}

/** Writes what stands here and is in no file yet; while a text is being written the next one waits for it. */
function save(model: Model, stand: Stand): Updated {
  const { file, source, saved, saving } = stand;
  if (saving || source === saved) return { model, effects: [] };
  return {
    model: { ...model, stand: { ...stand, saving: true } },
    effects: [{ kind: 'write', file, text: source, before: saved }],
  };
}

/** A text was written: the file holds it now, and if more was written here meanwhile, that comes next. */
export function textWritten(
  model: Model,
  { of, file, text, says }: Extract<Message, { kind: 'written' }>,
): Updated {
  const { stand } = model;
  if (!stand || stand.file !== of) return { model: { ...model, notice: says }, effects: [] };
  const written: Stand = { ...stand, file, saved: text, saving: false };
  return save({ ...model, notice: says, stand: written }, written);
}

/**
 * A text was not written, and holds on the stand only. Where it is the file alone that cannot take it, another name is asked
 * for, unless the player is in the middle of something else.
 */
export function textNotWritten(model: Model, message: Extract<Message, { kind: 'not-written' }>): Updated {
  const { reason, of, elsewhere = null } = message;
  const { stand } = model;
  if (!stand || of === undefined || stand.file !== of)
    return { model: { ...model, notice: reason }, effects: [] };
  const told: Model = { ...model, notice: reason, stand: { ...stand, saving: false } };
  if (elsewhere === null || model.entry !== null || model.panel !== null) return { model: told, effects: [] };
  return openEntry(told, 'save-as', `${elsewhere.why}; in your own charts as`, elsewhere.name);
}

/** The name was typed under which the text goes into the player's own folder. */
export function saveAs(model: Model, stand: Stand, name: string): Updated {
  return {
    model: { ...model, stand: { ...stand, saving: true } },
    effects: [{ kind: 'write-copy', of: stand.file, name, text: stand.source }],
  };
}

/** Leaves a chart with what was written in it: once it is asked about, if no file has it. */
export function leaveUnsaved(model: Model, stand: Stand): Updated | null {
  const warned = 'what you wrote is in no file: b and Enter write it, Esc again leaves it';
  if (stand.source === stand.saved || model.notice === warned) return null;
  return { model: { ...model, notice: warned }, effects: [] };
}

function sourceAt(stand: Stand): BarSource | null {
  return passView(stand)?.bars[stand.cursor.bar]?.source ?? null;
}

function sectionName({ chart }: Stand, source: BarSource | null): string {
  return (source && chart.sections[source.section]?.name) ?? '';
}
