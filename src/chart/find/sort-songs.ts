import { byName } from '../../base/by-name.js';
import { pitchClass } from '../../theory/pitch.js';
import { quarterTempo } from '../chart.js';
import type { SongFacts } from './song-facts.js';

/** What songs can be sorted by. */
export const songOrders = ['title', 'key', 'tempo', 'played', 'weakest'] as const;
export type SongOrder = (typeof songOrders)[number];

/** How many of a song's marked passes were missed. */
export interface Weakness {
  readonly missed: number;
  readonly of: number;
}

/** What is sorted: a song, or something in a list with songs, which has no `facts`. */
export interface Sortable {
  readonly title: string;
  readonly facts: SongFacts | null;
  /** When it was played last, ms since 1970; 0 for never. */
  readonly played: number;
  /** `null` if none of its passes was marked. */
  readonly weak: Weakness | null;
}

/** Compares titles as a person would look them up. */
export function byTitle(one: { readonly title: string }, other: { readonly title: string }): number {
  return byName(one.title, other.title);
}

/** The number that songs are sorted by, the least first; infinite for those that come last. */
const numbers: Readonly<Record<Exclude<SongOrder, 'title'>, (one: Sortable) => number>> = {
  // From A upward by half steps; minor after major of the same name.
  key: ({ facts }) =>
    facts
      ? 2 * ((pitchClass(facts.key.tonic) + 3) % 12) + (facts.key.mode === 'minor' ? 1 : 0)
      : Number.POSITIVE_INFINITY,
  tempo: ({ facts }) => (facts ? quarterTempo(facts.tempo) : Number.POSITIVE_INFINITY),
  played: ({ played }) => (played > 0 ? -played : Number.POSITIVE_INFINITY),
  // Among equal shares the more often missed comes first, by less than any two shares can differ.
  weakest: ({ weak }) =>
    weak && weak.of > 0 ? -weak.missed / weak.of - weak.missed * 1e-6 : Number.POSITIVE_INFINITY,
};

/**
 * Songs in an order: by title; by key from A upward; by tempo, slow ones first, in quarters; what was played last first; the weakest first.
 * What cannot be sorted that way comes last, by title.
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
