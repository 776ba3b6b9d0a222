import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseFrets } from '../../src/hand/fingering.js';
import {
  begins,
  type HandPlace,
  homesOf,
  homesOfKey,
  isTooHigh,
  parseHome,
  placePrice,
} from '../../src/hand/home.js';
import { instruments, mandolin } from '../../src/hand/instrument.js';
import { changes } from './charts.js';

describe('homesOfKey', () => {
  // Where the family of each key begins on the neck: common practice for G, A, B♭, B, C, D, E♭ and E; F♯, A♭ and D♭ by moving it.
  it.each([
    ['C', 0, 2],
    ['Db', 1, 3],
    ['D', 2, 4],
    ['Eb', 3, 5],
    ['E', 4, 6],
    ['F#', 1, 3],
    ['G', 2, 4],
    ['Ab', 3, 5],
    ['A', 4, 6],
    ['Bb', 5, 7],
    ['B', 6, 8],
  ])('%s: frets %i to %i', (tonic, low, high) => {
    expect(homesOfKey(tonic, mandolin)).toEqual([{ low, high }]);
  });

  it('is as much at home low in F, whose 1 begins at the seventh fret', () => {
    expect(homesOfKey('F', mandolin)).toEqual([
      { low: 5, high: 7 },
      { low: 1, high: 3 },
    ]);
  });

  it('follows the tuning in fifths, and is not known on others', () => {
    const named = (id: string) => instruments.find((one) => one.id === id) as (typeof instruments)[number];
    // A fifth lower, D lies where A does.
    expect(homesOfKey('D', named('mandola'))).toEqual(homesOfKey('A', mandolin));
    expect(homesOfKey('D', named('octave-mandolin'))).toEqual(homesOfKey('D', mandolin));
    expect(homesOfKey('C', named('ukulele'))).toEqual([]);
  });

  it('holds the homes of all keys of a song, each once', () => {
    const song = [
      ...changes('1 4 5', 'A'),
      ...changes('1 4', 'B'),
      ...changes('1-', 'Em'),
      ...changes('1', 'A'),
    ];
    expect(homesOf(song, mandolin)).toEqual([
      { low: 4, high: 6 },
      { low: 6, high: 8 },
      { low: 1, high: 4 },
    ]);
  });
});

describe('placePrice', () => {
  const low = (frets: string, ...homes: { low: number; high: number }[]) =>
    placePrice(parseFrets(frets), { wish: 'low', homes });

  it('grows with the fret that a shape begins at, and by far where that is above the seventh', () => {
    const prices = ['7-5-2-3', '10-8-5-6', '11-9-6-7', '12-10-7-8', '12-8-10-x', '12-9-10-x'].map((one) =>
      low(one),
    );
    expect(prices).toEqual([...prices].sort((one, other) => one - other));
    expect(prices[0]).toBe(0);
    expect((prices[4] as number) - (prices[3] as number)).toBeGreaterThan(500);
  });

  it('takes a high shape for usual where the key is at home there', () => {
    expect(isTooHigh(parseFrets('11-8-9-x'), { wish: 'low', homes: [] })).toBe(true);
    expect(isTooHigh(parseFrets('11-8-9-x'), { wish: 'low', homes: [{ low: 6, high: 8 }] })).toBe(false);
    expect(low('11-8-9-x', { low: 6, high: 8 })).toBeLessThan(low('11-8-9-x'));
  });

  it('obeys a wish for other frets', () => {
    const at = (frets: string, place: HandPlace) => placePrice(parseFrets(frets), place);
    expect(at('12-9-10-x', { wish: 'high', homes: [] })).toBe(0);
    expect(at('7-5-2-3', { wish: 'high', homes: [] })).toBeGreaterThan(0);
    expect(at('9-6-7-x', { wish: { low: 5, high: 9 }, homes: [] })).toBe(0);
    expect(at('x-12-10-11', { wish: { low: 5, high: 9 }, homes: [] })).toBeGreaterThan(0);
  });

  it('is nothing for what stops no fret', () => {
    expect(begins(parseFrets('0-0-x-x'))).toBe(0);
    expect(low('0-0-x-x', { low: 2, high: 4 })).toBe(0);
  });
});

describe('parseHome', () => {
  it.each([
    ['low', 'low'],
    [' high ', 'high'],
    ['5-9', { low: 5, high: 9 }],
  ])('%s', (text, wish) => {
    expect(parseHome(text)).toEqual({ ok: true, value: wish });
  });

  it('answers anything else with a sentence', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const read = parseHome(text);
        if (!read.ok) expect(read.fault.message).toContain('write low, high, or frets such as 5-9');
        else expect(text.trim()).toMatch(/^(low|high|\d{1,2}\s*-\s*\d{1,2})$/);
      }),
    );
    for (const text of ['9-5', '0-4', '5', '5-25', 'lo']) expect(parseHome(text).ok).toBe(false);
  });
});
