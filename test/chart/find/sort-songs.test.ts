import { describe, expect, it } from 'vitest';
import { songFacts } from '../../../src/chart/find/song-facts.js';
import { type Sortable, songOrders, sortSongs } from '../../../src/chart/find/sort-songs.js';
import { chart } from '../written.js';

const song = (title: string, key: string, tempo: string, more: Partial<Sortable> = {}): Sortable => ({
  title,
  facts: songFacts(chart(`title: ${title}\nkey: ${key}\ntempo: ${tempo}\nsections:\n  V: 1\n`)),
  played: 0,
  weak: null,
  ...more,
});
const songs: readonly Sortable[] = [
  song('Gate 10', 'G', '100', { played: 3, weak: { missed: 0, of: 4 } }),
  song('gate 9', 'Ab', 'half=118', { weak: { missed: 1, of: 2 } }),
  song('Ätna', 'Am', '200', { played: 9 }),
  song('Barge', 'A', 'dotted=90', { played: 5, weak: { missed: 4, of: 8 } }),
  song('Canal', 'A#', '60', { weak: { missed: 3, of: 4 } }),
  { title: 'An evening', facts: null, played: 7, weak: null },
];

describe('songs in an order', () => {
  it.each([
    ['title', 'An evening, Ätna, Barge, Canal, gate 9, Gate 10'],
    ['key', 'Barge, Ätna, Canal, Gate 10, gate 9, An evening'],
    ['tempo', 'Canal, Gate 10, Barge, Ätna, gate 9, An evening'],
    ['played', 'Ätna, An evening, Barge, Gate 10, Canal, gate 9'],
    ['weakest', 'Canal, Barge, gate 9, Gate 10, An evening, Ätna'],
  ] as const)('by %s', (order, titles) => {
    const sorted = sortSongs(songs, order);
    expect(sorted.map(({ title }) => title).join(', ')).toBe(titles);
    expect(sortSongs(songs.toReversed(), order)).toStrictEqual(sorted);
  });

  it('loses none and changes nothing', () => {
    for (const order of songOrders) expect(new Set(sortSongs(songs, order))).toStrictEqual(new Set(songs));
    expect(songs[0]?.title).toBe('Gate 10');
  });
});
