import { describe, expect, it } from 'vitest';
import { chiSquareQuantile, estimate, median, studentQuantile } from '../../src/listen/estimate.js';

describe('estimate', () => {
  it('has mean and standard deviation, and half the interval of the mean', () => {
    const made = estimate([-2, 0, 2, 4, 6, -4, 0, 2]);
    expect(made?.mean).toBeCloseTo(1, 9);
    // The squares about 1 come to 72, over seven free ones; Student's quantile for seven is 2.365.
    expect(made?.spread).toBeCloseTo(Math.sqrt(72 / 7), 9);
    expect(made?.meanWithin).toBeCloseTo((2.365 * Math.sqrt(72 / 7)) / Math.sqrt(8), 1);
    expect(made).toMatchObject({ count: 8, outside: 0 });
  });

  it('leaves a single miss out, and says so', () => {
    const errors = [1, -2, 0, 2, -1, 1, 0, -1, 90];
    expect(estimate(errors)).toMatchObject({ mean: 0, count: 8, outside: 1 });
  });

  it.each([[[]], [[1]], [[1, 2, 3]]])('says nothing of %j', (errors) => {
    expect(estimate(errors)).toBeNull();
  });

  it('takes errors that are all alike', () => {
    expect(estimate([5, 5, 5, 5])).toMatchObject({ mean: 5, spread: 0, meanWithin: 0, outside: 0 });
  });

  it('is wider where errors follow each other, and where the offset is known less well', () => {
    const apart = Array.from({ length: 64 }, (_, index) => (index % 2 ? 10 : -10));
    const together = Array.from({ length: 64 }, (_, index) => (index % 32 < 16 ? 10 : -10));
    const one = estimate(apart)?.meanWithin ?? 0;
    expect(estimate(together)?.meanWithin).toBeGreaterThan(3 * one);
    expect(estimate(apart, 2)?.meanWithin).toBeCloseTo(Math.hypot(one, 1.96 * 2), 3);
  });

  // Abramowitz and Stegun, tables 26.10 and 26.8.
  it.each([
    [3, 3.182],
    [7, 2.365],
    [20, 2.086],
    [63, 1.998],
  ])('has Student’s quantile for %i', (free, value) => {
    expect(Math.abs(studentQuantile(free) / value - 1)).toBeLessThan(0.01);
  });
  it.each([
    [10, 3.247, 20.483],
    [30, 16.791, 46.979],
    [60, 40.482, 83.298],
  ])('has the quantiles of chi square for %i', (free, low, high) => {
    expect(Math.abs(chiSquareQuantile(free, -1.95996) / low - 1)).toBeLessThan(0.01);
    expect(Math.abs(chiSquareQuantile(free, 1.95996) / high - 1)).toBeLessThan(0.01);
  });

  it('has the middle of numbers', () => {
    expect([median([3, 1, 2]), median([4, 1, 3, 2]), median([])]).toStrictEqual([2, 2.5, Number.NaN]);
  });
});
