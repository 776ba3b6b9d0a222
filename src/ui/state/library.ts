import type { SongFacts } from '../../chart/find/song-facts.js';
import type { Weakness } from '../../chart/find/sort-songs.js';
import type { Key } from '../../theory/key.js';

/** What a set says about a song; what is `null` is as the chart has it. */
export interface SongWishes {
  readonly key: Key | null;
  readonly bpm: number | null;
}

/** One line of a list of charts and sets. A file with faults is listed too, with the first of them. */
export interface LibraryItem {
  readonly file: string;
  /**
   * `transcript`: a chart that was being written down, whose file is the name it is kept under. `unread`: a file that is there, and will
   * be read.
   */
  readonly kind: 'chart' | 'set' | 'folder' | 'faulty' | 'unread' | 'new' | 'transcript' | 'run';
  readonly title: string;
  /** Key, tempo and meter, or the fault. */
  readonly detail: string;
  readonly wishes: SongWishes;
  /** What a newcomer is told of it. */
  readonly hint?: string;
  /** What a chart is found by. */
  readonly facts?: SongFacts;
  /** When it was played last, ms since 1970; absent for never. */
  readonly played?: number;
  /** Its place in the usual order, the least first; by title where they are the same. */
  readonly place?: readonly [played: number, rank: number];
}

/** What something is opened as; `resume`: a set's run that was stopped is resumed. */
export type OpenKind = Exclude<LibraryItem['kind'], 'faulty' | 'unread'> | 'resume';

/** In which order a list is shown; `usual`: what was played last before it was opened, the player's own, the demo charts. */
export const listOrders = ['usual', 'title', 'key', 'tempo', 'played', 'weakest'] as const;
export type ListOrder = (typeof listOrders)[number];

/** A list of charts and sets; a set's list has the one it was opened from. */
export interface Library {
  readonly title: string;
  readonly items: readonly LibraryItem[];
  /** The selected one of those that are shown. */
  readonly index: number;
  readonly from: Library | null;
  /** What was typed to find something. */
  readonly query: string;
  /** The usual one when absent. */
  readonly order?: ListOrder;
  /** Whether its usual order is the one of the items: a set's songs. */
  readonly isSet?: boolean;
  /** How weak songs are, by title; absent until the diary was read. */
  readonly weak?: ReadonlyMap<string, Weakness>;
}
