import type { NeckSight } from '../hand/neck-sight.js';
import { type PrintedSheet, printedSheet } from './sheet.js';
import type { PrintedOrder } from './sheet-pdf.js';
import { arrangementOf, type Song } from './song.js';

/** Songs that are printed one after the other, with the running order if they are a set. */
export interface Book {
  readonly sheets: readonly PrintedSheet[];
  readonly order: PrintedOrder | null;
}

/** A song as it is printed, for the player's view of the neck; `tune`: with its tune as degrees. */
export function sheetOfSong(song: Song, sight: NeckSight, tune = false): PrintedSheet {
  const { chart, key, bpm, instrument, plan, patterns } = song.setup;
  return printedSheet({
    chart,
    key,
    bpm,
    instrument,
    plan: arrangementOf(song).plan,
    options: plan,
    sight,
    patterns,
    tune,
  });
}

/** A song's line in the running order; `length` is how long it is played, in words. */
export function orderLine(
  { notes }: Song,
  { title, key, tempo, meter }: PrintedSheet,
  length: string,
): PrintedOrder['lines'][number] {
  return { title, key, about: `${tempo}  ${meter}  ${length}`, notes };
}
