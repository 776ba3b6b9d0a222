import type { Action } from './actions.js';

/** Under which heading the help screen shows a key. */
export type HelpGroup =
  | 'playing'
  | 'place'
  | 'tempo'
  | 'key and sound'
  | 'what is shown'
  | 'the chart'
  | 'list'
  | 'the shed'
  | 'a set, between songs'
  | 'a set, in a song'
  | 'a set, its order'
  | 'writing down'
  | 'by ear'
  | 'a band'
  | 'everywhere';

/** Keys that do one thing. `foot` is the short word on the screen's last line, if it has one. */
export interface KeyLine {
  readonly action: Action;
  readonly keys: readonly string[];
  readonly group: HelpGroup;
  readonly help: string;
  readonly foot?: string;
}

/** The keys of some places, by their names, in the order in which help shows them. */
export type KeyTable = Readonly<Record<string, readonly KeyLine[]>>;
