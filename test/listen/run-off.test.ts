import { describe, expect, it } from 'vitest';
import { runOff, runOffAt, tempoGained } from '../../src/listen/run-off.js';
import { seeded } from './seeded.js';

const bars = Array.from({ length: 24 }, (_, bar) => 2000 * bar);

/** An error for each half second of 48 s, spread by 12 ms, growing by `slope` from `from` on. */
function errors(slope: number, from: number, seed: number): { at: number; error: number }[] {
  const random = seeded(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  return Array.from({ length: 96 }, (_, index) => {
    const at = 500 * index;
    return { at, error: -10 + 12 * normal() + slope * Math.max(0, at - from) };
  });
}

describe('runOff', () => {
  it.each([
    [0.01, 0],
    [-0.01, 16_000],
    [-0.03, 32_000],
  ])('finds a slope of %f from %i ms on', (slope, from) => {
    const found = runOff(errors(slope, from, 4), bars, 40);
    expect(Math.abs((found?.slope ?? 0) - slope)).toBeLessThan(0.003);
    expect(Math.abs((found?.from ?? 99_999) - from)).toBeLessThanOrEqual(6000);
  });

  it('finds none in a hundred passes of a steady hand', () => {
    for (let seed = 1; seed <= 100; seed += 1) expect(runOff(errors(0, 0, seed), bars, 40)).toBeNull();
  });

  it('is not led astray by single misses', () => {
    const missed = errors(0, 0, 7).map((one, index) =>
      index > 84 && index % 4 === 0 ? { ...one, error: 160 } : one,
    );
    expect(runOff(missed, bars, 40)).toBeNull();
  });

  it('needs some strokes, and a line that comes to something', () => {
    expect(runOff(errors(0.03, 0, 1).slice(0, 8), bars, 40)).toBeNull();
    expect(runOff(errors(0.003, 0, 1), bars, 200)).toBeNull();
    expect(runOff([], bars, 40)).toBeNull();
  });

  it('says what it comes to', () => {
    expect(runOffAt({ from: 1000, slope: 0.02 }, 3000)).toBe(40);
    expect([runOffAt({ from: 1000, slope: 0.02 }, 500), runOffAt(null, 500)]).toStrictEqual([0, 0]);
    // Beats that come after 490 ms where 500 are due: 122.4 a minute.
    expect(tempoGained({ from: 0, slope: -0.02 }, 120)).toBeCloseTo(2.449, 3);
    expect(tempoGained({ from: 0, slope: 0.02 }, 120)).toBeLessThan(-2);
  });
});
