import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { mandolin } from '../../src/hand/instrument.js';
import { keysInOrder } from '../../src/shed/drills.js';
import { ask, question } from '../../src/shed/numbers.js';
import { seeded, shuffled } from '../../src/shed/seeded.js';
import { unseenChart } from '../../src/shed/unseen.js';
import { unseenLevels } from '../../src/shed/unseen-levels.js';
import { majorTonics, minorTonics } from '../../src/theory/key.js';
import { parseNumber } from '../../src/theory/number.js';

describe('unseenChart', () => {
  const key = fc.oneof(
    fc.constantFrom(...majorTonics).map((tonic) => ({ tonic, mode: 'major' as const })),
    fc.constantFrom(...minorTonics).map((tonic) => ({ tonic, mode: 'minor' as const })),
  );
  it('always reads back without a fault or a warning, unrolls, and begins and ends at home', () => {
    fc.assert(
      fc.property(fc.nat(1e6), key, fc.constantFrom(...unseenLevels), (seed, own, level) => {
        const text = unseenChart({ seed, key: own, level, bpm: 180 });
        const read = readChart(new TextEncoder().encode(text));
        expect(read.faults).toEqual([]);
        if (!read.ok) return;
        const { bars, fault } = unroll(read.value);
        expect(fault).toBeNull();
        expect(bars.length).toBeGreaterThanOrEqual(24);
        const home = { degree: 1, alter: 0, quality: own.mode === 'minor' ? 'minor' : 'major' };
        expect(bars[0]?.cells[0]?.number).toMatchObject(home);
        expect(bars.at(-1)?.cells.at(-1)?.number).toMatchObject(home);
      }),
      { numRuns: 500 },
    );
  });

  it('is the same for the same seed, and another for another', () => {
    const wishes = { key: { tonic: 'A', mode: 'major' }, level: 'hard', bpm: 200 } as const;
    expect(unseenChart({ ...wishes, seed: 4 })).toBe(unseenChart({ ...wishes, seed: 4 }));
    const texts = new Set(
      Array.from({ length: 50 }, (_, seed) => unseenChart({ ...wishes, seed }).replace(/Unseen \d+/, '')),
    );
    expect(texts.size).toBeGreaterThan(45);
  });

  it('has more kinds of chord the harder it is', () => {
    const kinds = (level: (typeof unseenLevels)[number]): number => {
      const found = new Set<string>();
      for (let seed = 0; seed < 40; seed += 1)
        for (const word of unseenChart({ seed, key: { tonic: 'A', mode: 'major' }, level, bpm: 180 }).match(
          /[#b]?[1-7][-^\w]*/g,
        ) ?? [])
          found.add(word);
      return found.size;
    };
    const counts = unseenLevels.map(kinds);
    expect([...counts].sort((one, other) => one - other)).toEqual(counts);
  });
});

describe('key orders', () => {
  const base = {
    key: { tonic: 'G', mode: 'major' },
    singers: [
      { name: 'Ansa', key: { tonic: 'Bb', mode: 'major' } },
      { name: 'Tew', key: { tonic: 'G', mode: 'major' } },
    ],
  } as const;
  const names = (order: Parameters<typeof keysInOrder>[1]): string =>
    keysInOrder(base, order, seeded(1))
      .map(({ tonic }) => tonic)
      .join(' ');
  it('go up by fourths, by half steps, or are those that are sung', () => {
    // The circle of fourths from G (common practice).
    expect(names('fourths')).toBe('G C F Bb Eb Ab Db F# B E A D');
    expect(names('halfsteps')).toBe('G Ab A Bb B C Db D Eb E F F#');
    expect(names('singers')).toBe('G Bb');
    expect([...names('shuffled').split(' ')].sort()).toEqual([...names('halfsteps').split(' ')].sort());
  });

  it('at random, every key is as likely at every place', () => {
    const random = seeded(11);
    const rounds = 24_000;
    const counts = Array.from({ length: 12 }, () => new Map<string, number>());
    for (let round = 0; round < rounds; round += 1)
      keysInOrder(base, 'shuffled', random).forEach(({ tonic }, place) => {
        const own = counts[place] as Map<string, number>;
        own.set(tonic, (own.get(tonic) ?? 0) + 1);
      });
    // Chi squared over the 12 × 12 places, 121 free: over 180 has a probability below 0.0005.
    const expected = rounds / 12;
    const chi = counts.reduce(
      (sum, own) =>
        sum + [...own.values()].reduce((part, count) => part + (count - expected) ** 2 / expected, 0),
      0,
    );
    expect(chi).toBeLessThan(180);
    // A shuffle that swaps each place with any other, a usual mistake, is found out by the same measure.
    const biased = Array.from({ length: 12 }, () => new Array(12).fill(0) as number[]);
    for (let round = 0; round < rounds; round += 1) {
      const list = Array.from({ length: 12 }, (_, index) => index);
      list.forEach((_, place) => {
        const other = Math.floor(random() * 12);
        [list[place], list[other]] = [list[other] as number, list[place] as number];
      });
      list.forEach((value, place) => {
        (biased[place] as number[])[value] = (biased[place]?.[value] ?? 0) + 1;
      });
    }
    const off = biased.flat().reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
    expect(off).toBeGreaterThan(180);
  });

  it('shuffled keeps what it is given', () => {
    expect(shuffled([1, 2, 3], seeded(2)).sort()).toEqual([1, 2, 3]);
    expect(shuffled([], seeded(2))).toEqual([]);
  });
});

describe('question', () => {
  it('takes its own right answer, however it is typed, and no other', () => {
    const random = seeded(5);
    const kinds = new Set<string>();
    for (let round = 0; round < 120; round += 1) {
      const { asks, right, isRight } = question(mandolin, random);
      kinds.add(asks.replace(/[A-G][b#]?m?7?|b?[1-7]-?/g, '·'));
      const [first = ''] = right.split(/ or |:/);
      const word = ['stay', 'bass', 'treble', 'nut', 'bridge'].find((one) => first.includes(one));
      expect(
        isRight(asks.includes('which way') ? (word ?? '') : ` ${first.toUpperCase().replace(/X/g, 'x')} `),
      ).toBe(true);
      expect(isRight('')).toBe(false);
      expect(isRight('no idea')).toBe(false);
    }
    expect(kinds.size).toBeGreaterThanOrEqual(4);
  });

  it('knows 4 of B flat, and which number F is in C', () => {
    const about = (kind: 'chord' | 'number', tonic: string, number: string) => {
      const read = parseNumber(number);
      if (!read.ok) throw new Error(number);
      return ask(kind, {
        key: { tonic, mode: 'major' },
        number: read.value,
        instrument: mandolin,
        random: seeded(1),
      });
    };
    expect(about('chord', 'Bb', '4')).toMatchObject({ asks: '4 of Bb?', right: 'Eb' });
    expect(about('chord', 'G', '6-')).toMatchObject({ asks: '6- of G?', right: 'Em' });
    expect(about('number', 'C', '4')).toMatchObject({ asks: 'which number is F in C?', right: '4' });
    expect(about('number', 'A', 'b7')).toMatchObject({ asks: 'which number is G in A?', right: 'b7' });
  });
});
