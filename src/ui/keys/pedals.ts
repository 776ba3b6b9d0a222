import type { PedalUse } from '../../playback/pedals.js';
import type { Action } from './actions.js';
import type { KeyPlace } from './bindings.js';

/** What a pedal's use does in a place; `null` for nothing. */
export function pedalActions(use: PedalUse, place: KeyPlace): Action | null {
  const { usual, ...others } = pedalTable[use];
  return others[place] ?? usual;
}

const pedalTable: Readonly<
  Record<PedalUse, { readonly usual: Action | null } & Partial<Readonly<Record<KeyPlace, Action | null>>>>
> = {
  play: { usual: 'play', card: 'go-on', sitting: 'go-on', library: null, order: null, requests: null },
  next: { usual: 'section-on', card: 'song-next', song: 'song-next', sitting: 'go-on', library: null },
  back: { usual: 'section-back', card: 'song-back', song: 'song-back', sitting: null, library: null },
  again: { usual: null, card: 'song-again', song: 'song-again' },
  extend: { usual: 'extend', card: null, library: null },
  ending: { usual: 'ending', card: null, library: null },
  hold: { usual: 'hold', card: null, library: null },
  clean: { usual: 'mark-clean', card: null, library: null },
  miss: { usual: 'mark-miss', card: null, library: null },
  later: { usual: 'mark-later', card: null, library: null },
  chord: { usual: 'next-chord', card: null, song: null, library: null },
};
