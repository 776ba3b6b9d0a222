import { describe, expect, it } from 'vitest';
import type { ExpectedStroke } from '../../src/listen/expected.js';
import { findPass, type PlacedStroke } from '../../src/listen/song-search.js';
import { expecting, song } from './expecting.js';
import { normals } from './noisy.js';
import { seeded } from './seeded.js';

const range = { slowness: [1 / 1.35, 1 / 0.65], near: null } as const;

/** What an ear makes of a pass that begins at `start`: some strokes missed, some kinds and chords mistaken, others between them. */
function heardOf(
  expected: readonly ExpectedStroke[],
  {
    start,
    timeOf,
    seed,
    chords = true,
  }: { start: number; timeOf: (place: number) => number; seed: number; chords?: boolean },
): PlacedStroke[] {
  const random = seeded(seed);
  const normal = normals(seed);
  const names = [...new Set(expected.map(({ chord }) => chord.name))];
  const kinds = ['low', 'chop', 'up'] as const;
  const stroke = (at: number, kind: PlacedStroke['kind'], chord: string | null): PlacedStroke => ({
    at,
    kind,
    kindSure: 0.95,
    strength: 0.4,
    ringMs: null,
    ringsOn: null,
    chord: null,
    guess: chord === null ? null : new Map(names.map((name) => [name, name === chord ? 0 : -6])),
  });
  const own = expected.flatMap((one) => {
    if (random() < 0.04) return [];
    const kind = random() < 0.04 ? (kinds[Math.floor(3 * random())] ?? 'up') : one.kind;
    const chord = random() < 0.06 ? (names[Math.floor(names.length * random())] ?? null) : one.chord.name;
    return [stroke(start + timeOf(one.at) + 14 * normal(), kind, chords ? chord : null)];
  });
  const others = Array.from({ length: Math.round(0.05 * own.length) }, () =>
    stroke(start + timeOf(60_000) * random(), 'up', null),
  );
  return [...own, ...others].sort((one, other) => one.at - other.at);
}

describe('finding a pass in a recording', () => {
  const { expected } = expecting(song, { bpm: 160 });

  it.each([
    [0.67, 1],
    [0.82, 2],
    [0.97, 3],
    [1.15, 4],
    [1.33, 5],
  ])('finds start and tempo at %f of the tempo', (share, seed) => {
    const start = 900 + 1700 * seed;
    const found = findPass(
      expected,
      heardOf(expected, { start, timeOf: (place) => place / share, seed }),
      range,
    );
    expect(Math.abs((found?.start ?? 0) - start)).toBeLessThan(60);
    expect(Math.abs((found?.slowness ?? 0) * share - 1)).toBeLessThan(0.012);
    expect(found?.pairs.length).toBeGreaterThan(0.9 * expected.length);
  });

  it('is not misled by a count-in of chops', () => {
    const beat = 375 / 0.9;
    const pass = heardOf(expected, { start: 4000, timeOf: (place) => place / 0.9, seed: 4 });
    const [first] = pass as [PlacedStroke, ...PlacedStroke[]];
    const count = [4, 3, 2, 1].map((back) => ({
      ...first,
      kind: 'chop' as const,
      guess: null,
      at: 4000 - back * beat,
    }));
    expect(Math.abs((findPass(expected, [...count, ...pass], range)?.start ?? 0) - 4000)).toBeLessThan(60);
  });

  it('tells by the chords which bar is the first', () => {
    // The pass begins with its first bar; what went before was its last bar, as when somebody records in the middle of playing.
    const end = expected
      .filter(({ bar }) => bar === 31)
      .map((one) => ({ ...one, at: one.at - expected.length * 375 }));
    const before = heardOf(end, { start: 6000, timeOf: (place) => place, seed: 5 });
    const pass = heardOf(expected, { start: 6000, timeOf: (place) => place, seed: 6 });
    expect(Math.abs((findPass(expected, [...before, ...pass], range)?.start ?? 0) - 6000)).toBeLessThan(60);
  });

  it('finds a pass whose chords are not heard, and one that slows down', () => {
    const slower = (place: number): number => 400_000 * (Math.exp(place / 400_000) - 1);
    const heard = heardOf(expected, { start: 1500, timeOf: slower, seed: 7, chords: false });
    const found = findPass(expected, heard, range);
    expect(Math.abs((found?.start ?? 0) - 1500)).toBeLessThan(80);
    expect(found?.pairs.length).toBeGreaterThan(0.9 * expected.length);
  });

  it('finds nothing where nothing was heard', () => {
    expect(findPass(expected, [], range)).toBeNull();
    expect(
      findPass([], heardOf(expected, { start: 0, timeOf: (place) => place, seed: 1 }), range),
    ).toBeNull();
  });
});
