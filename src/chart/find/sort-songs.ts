import { byName } from '../../base/by-name.js';
import { pitchClass } from '../../theory/pitch.js';
import { quarterTempo } from '../chart.js';
import type { SongFacts } from './song-facts.js';

/** By what songs can be put in order. */
export const songOrders = ['title', 'key', 'tempo', 'played', 'weakest'] as const;
export type SongOrder = (typeof songOrders)[number];

/** What of a song that is practised was missed, of so many passes that were marked. */
export interface Weakness {
  readonly missed: number;
  readonly of: number;
}

/** What is put in order: a song, or something in a list with songs, which has no `facts`. */
export interface Sortable {
  readonly title: string;
  readonly facts: SongFacts | null;
  /** When it was played last, ms since 1970; 0 for never. */
  readonly played: number;
  /** `null` where nothing of it was marked. */
  readonly weak: Weakness | null;
}

/** Compares titles as a person would look them up. */
export function byTitle(one: { readonly title: string }, other: { readonly title: string }): number {
  return byName(one.title, other.title);
}

/** A number a song is put in order by, the least first; infinite for what comes behind all that have one. */
const numbers: Readonly<Record<Exclude<SongOrder, 'title'>, (one: Sortable) => number>> = {
  // From A upward by half steps; minor behind major of the same name.
  key: ({ facts }) =>
    facts
      ? 2 * ((pitchClass(facts.key.tonic) + 3) % 12) + (facts.key.mode === 'minor' ? 1 : 0)
      : Number.POSITIVE_INFINITY,
  tempo: ({ facts }) => (facts ? quarterTempo(facts.tempo) : Number.POSITIVE_INFINITY),
  played: ({ played }) => (played > 0 ? -played : Number.POSITIVE_INFINITY),
  // Of the same share the more often missed, by less than any two shares can differ.
  weakest: ({ weak }) =>
    weak && weak.of > 0 ? -weak.missed / weak.of - weak.missed * 1e-6 : Number.POSITIVE_INFINITY,
};

/**
 * Songs in an order: by title; by key from A upward; by tempo, slow ones first, in quarters; what was played last first; the weakest first.
 * What has no place in it comes behind all others, by title.
 */
export function sortSongs<T extends Sortable>(songs: readonly T[], order: SongOrder): readonly T[] {
  const numberOf = order === 'title' ? () => 0 : numbers[order];
  return songs
    .map((song) => ({ song, number: numberOf(song) }))
    .sort((one, other) =>
      one.number === other.number ? byTitle(one.song, other.song) : one.number < other.number ? -1 : 1,
    )
    .map(({ song }) => song);
}
