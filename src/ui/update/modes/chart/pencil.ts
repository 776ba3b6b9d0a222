import { safeText } from '../../../../base/safe-text.js';
import type { BarSource, Chart } from '../../../../chart/chart.js';
import { barText, editBar } from '../../../../chart/edit-bar.js';
import { readChart } from '../../../../chart/read.js';
import { passView } from '../../../../playback/pass-view.js';
import type { Performance } from '../../../../playback/performance.js';
import { withSetup } from '../../../../playback/session.js';
import type { MessageOf } from '../../../state/messages.js';
import type { Model } from '../../../state/model.js';
import type { ChartMode } from '../../../state/modes.js';
import { openLine } from '../../stand/type-line.js';
import { faulted, noticed, type Step, step } from '../../step.js';

/** Opens the bar under the cursor to be written again, in the chart's own notation. */
export function openBar(model: Model, { text }: ChartMode): Step {
  const { performance } = model.session;
  const source = performance && sourceAt(performance);
  const written = source && barText(text.source, performance.setup.chart, source);
  if (!written) return noticed(model, 'this bar cannot be written here; edit the file');
  const section = performance.setup.chart.sections[source.section]?.name ?? '';
  const label = `bar ${performance.cursor.bar + 1} of the pass, in ${section}`;
  return openLine(model, { kind: 'bar', source }, label, written.text);
}

/** What is wrong with a bar that is being typed; empty when nothing is. */
export function barFault({ session, mode }: Model, source: BarSource, typed: string): string {
  const chart = session.performance?.setup.chart;
  if (mode.kind !== 'chart' || !chart || typed.trim() === '') return '';
  const read = editBar(mode.text.source, chart, source, typed.trim());
  return read.ok ? '' : (read.faults[0]?.message ?? 'this cannot be read');
}

/** The typed bar takes the place of the one in the file, and the music goes on with it. */
export function writeBar(model: Model, source: BarSource, typed: string): Step {
  const { mode, session } = model;
  const chart = session.performance?.setup.chart;
  if (mode.kind !== 'chart' || !chart) return step(model);
  const { source: before, earlier } = mode.text;
  const read = editBar(before, chart, source, typed);
  if (!read.ok) return step(model);
  // The same bar again: a change that could not be written before is written now.
  if (read.value.text === before) return save(model);
  const { writtenOut } = read.value;
  const remark =
    writtenOut === null ? '' : `the = after it is written out as it was: ${safeText(writtenOut)}`;
  return rewritten(model, mode, read.value, [...earlier, before].slice(-mostEarlier), remark);
}

/** Texts that can be taken back. */
const mostEarlier = 50;

/** The text before the last writing is the chart again. */
export function unwrite(model: Model, mode: ChartMode): Step {
  const text = mode.text.earlier.at(-1);
  if (text === undefined) return noticed(model, 'no bar was written here, so there is nothing to undo');
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) return step(model);
  return rewritten(model, mode, { text, chart: read.value }, mode.text.earlier.slice(0, -1));
}

function rewritten(
  model: Model,
  mode: ChartMode,
  { text, chart }: { readonly text: string; readonly chart: Chart },
  earlier: readonly string[],
  remark = '',
): Step {
  const { remark: _, ...kept } = mode.text;
  return save({
    ...model,
    mode: { ...mode, text: { ...kept, source: text, earlier, ...(remark === '' ? {} : { remark }) } },
    session: withSetup(model.session, { chart }),
  });
}

/** Writes what is here and is in no file yet; while a text is being written the next one waits for it. */
function save(model: Model): Step {
  const { mode } = model;
  if (mode.kind !== 'chart' || mode.text.saving) return step(model);
  const { file, source, saved } = mode.text;
  if (file !== '' && source === saved) return step(model);
  // A chart that came from somebody else is in no file: its player says whether to save it, and under what name.
  if (file === '') return openLine(model, { kind: 'save-as' }, 'in your own charts as', titleOf(model));
  return step(
    { ...model, mode: { ...mode, text: { ...mode.text, saving: true } } },
    { kind: 'write', file, text: source, before: saved },
  );
}

/** A text was written: the file holds it now. If more was written here meanwhile, that is next. */
export function textWritten(model: Model, { of, file, text, says }: MessageOf<'written'>): Step {
  const { mode } = model;
  if (mode.kind !== 'chart' || mode.text.file !== of) return noticed(model, says);
  const { remark, ...kept } = mode.text;
  const written: ChartMode = { ...mode, text: { ...kept, file, saved: text, saving: false } };
  return save({ ...model, notice: remark === undefined ? says : `${remark}; ${says}`, mode: written });
}

/**
 * A text was not written, and is only on the stand. Where it is the file alone that cannot take it, another name is asked
 * for, unless the player is in the middle of something else.
 */
export function textNotWritten(model: Model, message: MessageOf<'not-written'>): Step {
  const { reason, of, elsewhere = null } = message;
  const { mode } = model;
  if (mode.kind !== 'chart' || of === undefined || mode.text.file !== of) return faulted(model, reason);
  const unsaved: Model = {
    ...model,
    notice: reason,
    wrong: reason,
    mode: { ...mode, text: { ...mode.text, saving: false } },
  };
  if (elsewhere === null || model.overlay) return step(unsaved);
  return openLine(unsaved, { kind: 'save-as' }, `${elsewhere.why}; in your own charts as`, elsewhere.name);
}

/** The name was typed under which the text goes into the player's own folder. */
export function saveAs(model: Model, name: string): Step {
  const { mode } = model;
  if (mode.kind !== 'chart') return step(model);
  return step(
    { ...model, mode: { ...mode, text: { ...mode.text, saving: true } } },
    { kind: 'write-copy', of: mode.text.file, name, text: mode.text.source },
  );
}

function titleOf({ session }: Model): string {
  return safeText(session.performance?.setup.chart.title ?? '');
}

function sourceAt(performance: Performance): BarSource | null {
  return passView(performance)?.bars[performance.cursor.bar]?.source ?? null;
}
