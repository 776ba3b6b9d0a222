import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pairStrokes, usualInterval } from '../../src/listen/pairing.js';
import { roughOffset } from '../../src/listen/rough-offset.js';
import type { TimedStroke } from '../../src/listen/timed-stroke.js';
import { expecting, song } from './expecting.js';
import { perfectEar, type SimulatedPlayer, simulatedPass } from './simulated-player.mjs';

const { expected } = expecting('1 4 1 5', { bpm: 120 });
/** A stroke heard for the expected one of an index, so many ms late. */
const heardFor = (index: number, late = 0, changes: Partial<TimedStroke> = {}): TimedStroke => ({
  at: (expected[index]?.at ?? 0) + late,
  kind: expected[index]?.kind ?? 'chop',
  kindSure: 0.95,
  strength: 0.5,
  ringMs: 60,
  ringsOn: null,
  chord: null,
  ...changes,
});
const all = expected.map((_, index) => index);

describe('pairStrokes', () => {
  it('pairs in order, and names what was not heard and what was too many', () => {
    const heard = all.filter((index) => index !== 5).map((index) => heardFor(index, index % 2 ? 9 : -12));
    heard.splice(3, 0, heardFor(2, 250));
    const { pairs, unheard, extra } = pairStrokes(expected, heard, 0);
    expect(unheard).toStrictEqual([5]);
    expect(extra).toStrictEqual([3]);
    expect(pairs.map((pair) => pair.expected)).toStrictEqual(all.filter((index) => index !== 5));
  });

  it('takes, of two strokes near one, the one of its kind', () => {
    const heard = [
      ...all.slice(0, 5).map((index) => heardFor(index)),
      heardFor(5, -60, { kind: 'up' }),
      ...all.slice(5).map((index) => heardFor(index, 20)),
    ];
    expect(pairStrokes(expected, heard, 0).extra).toStrictEqual([5]);
  });

  it('keeps a late stroke as the stroke that it was meant for', () => {
    const heard = all.map((index) => heardFor(index, index === 8 ? 180 : 0));
    expect(pairStrokes(expected, heard, 0)).toMatchObject({ unheard: [], extra: [] });
  });

  it.each([
    ['nothing heard', expected, [], all.length, 0],
    ['nothing expected', [], [heardFor(0)], 0, 1],
    ['nothing at all', [], [], 0, 0],
  ])('%s', (_, of, heard, unheard, extra) => {
    const made = pairStrokes(of, heard);
    expect([made.pairs.length, made.unheard.length, made.extra.length]).toStrictEqual([0, unheard, extra]);
  });

  it('pairs each stroke once at most, in order, whatever is heard', () => {
    const stroke = fc.record({
      at: fc.double({ min: -2000, max: 12_000, noNaN: true }),
      kind: fc.constantFrom('low', 'chop', 'up' as const),
      kindSure: fc.double({ min: 0, max: 1, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.array(stroke, { maxLength: 60 }),
        fc.option(fc.integer({ min: -300, max: 300 })),
        (some, offset) => {
          const heard = some
            .map((one) => ({ ...heardFor(0), ...one }) as TimedStroke)
            .sort((one, other) => one.at - other.at);
          const { pairs, unheard, extra } = pairStrokes(expected, heard, offset);
          expect(pairs.length + unheard.length).toBe(expected.length);
          expect(pairs.length + extra.length).toBe(heard.length);
          pairs.slice(1).forEach((pair, index) => {
            expect(pair.expected).toBeGreaterThan(pairs[index]?.expected ?? -1);
            expect(pair.heard).toBeGreaterThan(pairs[index]?.heard ?? -1);
          });
        },
      ),
      { numRuns: 60 },
    );
  });

  const players: [string, Partial<SimulatedPlayer>][] = [
    ['a steady hand', {}],
    ['a hand that runs ahead by 4 %', { runFrom: 9000, runBy: -0.04 }],
    ['a hand that falls behind from the start', { runFrom: 0, runBy: 0.05 }],
    ['a rest of five bars', { restBars: [10, 11, 12, 13, 14] }],
    ['one stroke in eight left out', { leftOut: 0.125 }],
  ];
  it.each(players)('finds whose each stroke is, the offset unknown: %s', (_, player) => {
    for (const [seed, bpm, meter] of [
      [1, 96, '4/4'],
      [2, 250, '4/4'],
      [3, 140, '3/4'],
      [4, 220, '2/2'],
      [5, 180, '6/8'],
    ] as const) {
      const pass = expecting(song, { bpm, head: { meter } }).expected;
      const spread = Math.min(12, 0.04 * usualInterval(pass));
      const { heard, origins } = simulatedPass(pass, {
        player: { ...player, spread },
        offset: 37 * seed,
        seed,
      });
      const { pairs } = pairStrokes(pass, heard);
      const right = pairs.filter(
        (pair) => origins.get(heard[pair.heard] as TimedStroke) === pass[pair.expected],
      );
      expect(right.length / origins.size, `${bpm} ${meter}`).toBeGreaterThan(0.985);
    }
  });
});

describe('roughOffset', () => {
  it.each([0, 35, 120, 260])('finds an offset of %i ms', (offset) => {
    const pass = expecting(song, { bpm: 200 }).expected;
    const { heard } = simulatedPass(pass, { ear: perfectEar, offset });
    expect(Math.abs(roughOffset(pass, heard) - offset)).toBeLessThan(12);
  });

  it('is 0 where nothing was heard', () => {
    expect(roughOffset(expected, [])).toBe(0);
  });
});
