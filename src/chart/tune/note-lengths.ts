import type { Meter } from '../chart.js';
import { partsPerQuarter } from './tune.js';

/** The length of a note without a figure: a sixteenth in meters below 3/4, else an eighth (ABC 2.1, 3.1.7). In parts of a quarter. */
export function unitParts({ beats, unit }: Meter): number {
  return beats / unit < 0.75 ? partsPerQuarter / 4 : partsPerQuarter / 2;
}

/** What the unit length is called. */
export function unitName(meter: Meter): 'eighth' | 'sixteenth' {
  return unitParts(meter) === partsPerQuarter / 2 ? 'eighth' : 'sixteenth';
}

/** Whether tuplets take the time of three where nothing is said: 6/8, 9/8, 12/8 (ABC 2.1, 4.13). */
export function isCompound({ beats, unit }: Meter): boolean {
  return unit === 8 && beats % 3 === 0 && beats > 3;
}

/** The time in notes that `p` notes of a tuplet take where it is not said (ABC 2.1, 4.13). */
export function usualTime(p: number, compound: boolean): number {
  const usual: Readonly<Record<number, number>> = { 2: 3, 3: 2, 4: 3, 6: 2, 8: 3 };
  return usual[p] ?? (compound ? 3 : 2);
}
