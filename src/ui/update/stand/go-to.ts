import { passView, sectionStarts } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import { goTo } from '../../../playback/transport.js';
import type { Model } from '../../state/model.js';
import { played, type Step, step } from '../step.js';
import { openLine } from './type-line.js';

/** Opens a line for the bar or section to go to. */
export function openGoTo(model: Model): Step {
  return openLine(model, { kind: 'go-to' }, 'to bar or section');
}

/** What is wrong with a place that is being typed; empty when nothing is. */
export function goToFault({ session: { performance } }: Model, text: string): string {
  const view = performance && passView(performance);
  if (!view || text.trim() === '' || placeNamed(performance, text) !== null) return '';
  return /^\d+$/.test(text.trim())
    ? `there are bars 1 to ${view.bars.length}`
    : 'no section has a name that begins like this';
}

/** Goes to the place that was typed. */
export function goToTyped(model: Model, text: string, at: number): Step {
  const { performance } = model.session;
  const bar = performance && placeNamed(performance, text);
  return bar === null ? step(model) : played(model, goTo(model.session, bar, at));
}

/** The bar that was typed, from 0; `null` where the chart has none like it. */
export function placeTyped({ session: { performance } }: Model, text: string): number | null {
  return performance && placeNamed(performance, text);
}

/** The bar a number names, or the next section whose name begins so. */
function placeNamed(performance: Performance, text: string): number | null {
  const view = passView(performance);
  const wanted = text.trim().toLowerCase();
  if (!view) return null;
  if (/^\d+$/.test(wanted)) {
    const bar = Number(wanted);
    return bar >= 1 && bar <= view.bars.length ? bar - 1 : null;
  }
  const named = sectionStarts(view).filter((start) =>
    view.bars[start]?.section.toLowerCase().startsWith(wanted),
  );
  return named.find((start) => start > performance.cursor.bar) ?? named[0] ?? null;
}
