import type { Action } from './actions.js';

/**
 * Where a key is pressed: which keys hold depends on it. In the lists that are searched and where a line is typed, a
 * character that is no key is text.
 */
export const places = [
  'stand',
  'asking',
  'waiting',
  'sitting',
  'card',
  'song',
  'order',
  'requests',
  'transcribe',
  'voices',
  'library',
  'line',
  'panel',
  'help',
] as const;
export type KeyPlace = (typeof places)[number];

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
  | 'taking down'
  | 'everywhere';

/** Keys that do one thing in one place. `foot` is the short word on the screen's last line, if it has one. */
export interface Binding {
  readonly place: KeyPlace;
  readonly action: Action;
  readonly keys: readonly string[];
  readonly group: HelpGroup;
  readonly help: string;
  readonly foot?: string;
}

/** The keys of some places, in the order in which help shows them. */
export type KeyTable = Partial<Readonly<Record<KeyPlace, readonly Omit<Binding, 'place'>[]>>>;
