import type { PlayedBar } from '../chart/chart.js';
import { partsPerQuarter } from '../chart/tune/tune.js';
import { swungParts } from './lead.js';
import { stretchedTick } from './stretch.js';
import { ticksPerQuarter } from './units.js';

/**
 * The tick of a bar at which a place of its tune comes, swung as the bar is, and stretched where a chord is held.
 *
 * @param at parts of a quarter from the bar's start; below nought for a pick-up in front of it
 */
export function noteTick(bar: PlayedBar, at: number): number {
  const swung = Math.round(swungParts(at, bar) / (partsPerQuarter / ticksPerQuarter));
  return at < 0 ? swung : stretchedTick(bar, swung);
}
