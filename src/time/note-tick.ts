import { type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import { partsPerQuarter } from '../chart/tune/tune.js';
import { stretchedTick } from './stretch.js';
import { ticksPerQuarter } from './units.js';

/**
 * The tick of a bar at which a place of its tune comes, swung as the bar is, and stretched where a chord is held.
 *
 * @param at parts of a quarter from the bar's start; below zero for a pick-up in front of it
 */
export function noteTick(bar: PlayedBar, at: number): number {
  const swung = Math.round(swungParts(at, bar) / (partsPerQuarter / ticksPerQuarter));
  return at < 0 ? swung : stretchedTick(bar, swung);
}

/**
 * Where a place in a bar comes when the off-beat eighth is moved by the feel: the first half of the beat takes its share of
 * it, the second what is left. Thirds of a beat, which are a tuplet's, stay where they are.
 *
 * @param at parts of a quarter from the bar's start
 */
export function swungParts(at: number, bar: Pick<PlayedBar, 'meter' | 'feel'>): number {
  if (quartersPerBeat(bar.meter) !== 1 || bar.feel.swing === 50) return at;
  const beat = Math.floor(at / partsPerQuarter) * partsPerQuarter;
  const within = at - beat;
  const half = partsPerQuarter / 2;
  const long = (partsPerQuarter * bar.feel.swing) / 100;
  if (within % (partsPerQuarter / 3) === 0) return at;
  if (within <= half) return beat + (within * long) / half;
  return beat + long + ((within - half) * (partsPerQuarter - long)) / half;
}
