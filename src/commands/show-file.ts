import { chartOnly, loadGoodText } from './load.js';
import { type BarsFlags, givesBars, loadBars } from './load-bars.js';
import { show } from './show.js';
import type { ShowFlags } from './show-options.js';

/** Prints a chart, or a set's running order. */
export async function showFile(file: string | undefined, flags: ShowFlags & BarsFlags): Promise<number> {
  if (givesBars(file, flags, 'show') || file === undefined) {
    const { chart, source } = loadBars(flags);
    return show(chart, source, flags);
  }
  const { content, text } = loadGoodText(file);
  if (content.kind !== 'set') return show(chartOnly(file, content), text, flags);
  const { showSet } = await import('./show-set.js');
  return showSet(file, content.set, flags);
}
