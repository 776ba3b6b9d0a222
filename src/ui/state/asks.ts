import type { BarRange, Setup } from '../../playback/setup.js';
import type { Library, LibraryItem } from './library.js';
import type { Sight } from './sight.js';

/** What a typed command asks for in one step, where keys choose in a list, open a line, or go step by step. */
export type Ask =
  /** A command begins: the notice before it has been read. */
  | { readonly kind: 'fresh' }
  /** Beats a minute, as the chart counts them. */
  | { readonly kind: 'tempo'; readonly bpm: number }
  /** Bars from 0, half open; `null` for no loop. A loop that is asked for has no end. */
  | { readonly kind: 'loop'; readonly range: BarRange | null }
  /** The number of passes in all; `null` without end. */
  | { readonly kind: 'passes'; readonly passes: number | null }
  | { readonly kind: 'sounds'; readonly changes: Partial<Pick<Setup, 'mix' | 'melody' | 'countIn'>> }
  | { readonly kind: 'sight'; readonly changes: Partial<Sight> }
  /** A bar of the pass, from 0, rewritten in the notation of charts. */
  | { readonly kind: 'bar'; readonly bar: number; readonly text: string }
  /** A song of the set that is run, by its place in the order, from 0. */
  | {
      readonly kind: 'song';
      readonly place: number;
      readonly does: 'order-jump' | 'order-earlier' | 'order-later' | 'order-out';
    }
  /** Something of the list, whatever is on the stand. */
  | { readonly kind: 'open'; readonly item: LibraryItem }
  /** The list that charts are opened from, where there is none yet. */
  | { readonly kind: 'library'; readonly library: Library };
