import { describe, expect, it } from 'vitest';
import { Lateness, latenessText } from '../../src/player/lateness.js';

const recorded = (values: readonly number[]): Lateness => {
  const lateness = new Lateness();
  for (const value of values) lateness.record(value);
  return lateness;
};

describe('Lateness', () => {
  it('has nothing to report at first', () => {
    expect(new Lateness().report()).toStrictEqual({ count: 0, p50: 0, p99: 0, max: 0, missed: 0 });
  });

  it('reports the middle, the hundredth part and the worst, in whatever order they came', () => {
    const values = Array.from({ length: 1000 }, (_, index) => ((index * 7) % 1000) + 1);
    const { count, p50, p99, max } = recorded(values).report();
    expect([count, max]).toStrictEqual([1000, 1000]);
    expect(Math.abs(p50 - 500)).toBeLessThanOrEqual(1);
    expect(Math.abs(p99 - 990)).toBeLessThanOrEqual(1);
  });

  it('takes what was early for on time', () => {
    expect(recorded([-3, -1, -2]).report()).toMatchObject({ count: 3, p50: 0, p99: 0, max: 0 });
  });

  it('counts what was missed apart', () => {
    const lateness = recorded([1]);
    lateness.miss();
    lateness.miss();
    expect(lateness.report()).toMatchObject({ count: 1, missed: 2, max: 1 });
  });

  it('takes its percentiles from the latest, the worst and the counts from all', () => {
    const lateness = recorded([77, ...Array(20_000).fill(0.5)]);
    expect(lateness.report()).toStrictEqual({ count: 20_001, p50: 0.5, p99: 0.5, max: 77, missed: 0 });
  });

  it('can go on after a report', () => {
    const lateness = recorded([3, 1]);
    lateness.report();
    lateness.record(2);
    expect(lateness.report()).toMatchObject({ count: 3, p50: 2, max: 3 });
  });
});

describe('the report as one line', () => {
  it('says what half, nearly all and the worst were late, on a line of eighty columns', () => {
    const text = latenessText({ count: 12345, p50: 0.016, p99: 0.314, max: 1.2, missed: 0 });
    expect(text).toBe('lateness of 12345 messages: half within 0.02 ms, 99 % within 0.31, worst 1.20');
    expect(text.length).toBeLessThanOrEqual(78);
  });

  it('says what was missed', () => {
    expect(latenessText({ count: 3, p50: 0, p99: 0, max: 9, missed: 2 })).toMatch(/worst 9\.00; 2 missed$/);
  });
});
