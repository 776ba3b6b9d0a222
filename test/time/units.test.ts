import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { milliseconds, millisecondsPerTick, ticks, ticksPerQuarter } from '../../src/time/units.js';

describe('millisecondsPerTick', () => {
  // A quarter lasts 60 000 ms over the tempo.
  it.each([
    [60, 1000],
    [120, 500],
    [96, 625],
    [160, 375],
  ])('a quarter at %i lasts %i ms', (tempo, quarter) => {
    expect(millisecondsPerTick(tempo) * ticksPerQuarter).toBeCloseTo(quarter, 9);
  });

  // Rhythm players' yardstick: 64 quarter beats at 160, 120 and 96 last 24, 32 and 40 s.
  it.each([
    [160, 24],
    [120, 32],
    [96, 40],
  ])('64 beats at %i last %i s', (tempo, seconds) => {
    expect((64 * ticksPerQuarter * millisecondsPerTick(tempo)) / 1000).toBeCloseTo(seconds, 9);
  });
});

describe('ticks', () => {
  it.each([
    [1279.5, 1280],
    [1279.4999, 1279],
    [-479.6, -480],
    [0, 0],
  ])('%f is tick %i', (value, tick) => {
    expect(ticks(value)).toBe(tick);
  });

  it('is never further off than half a tick', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -1e9, max: 1e9 }).map((value) => value / 1000),
        (value) => {
          expect(Number.isInteger(ticks(value))).toBe(true);
          expect(Math.abs(ticks(value) - value)).toBeLessThanOrEqual(0.5);
        },
      ),
    );
  });
});

describe('milliseconds', () => {
  it('keeps the double it is given', () => {
    expect(milliseconds(0.1 + 0.2)).toBe(0.1 + 0.2);
  });
});
