import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Span, tickAt, timeAt } from '../../src/time/segment.js';

const spans: readonly Span[] = [
  { tick: 0, time: 1000, msPerTick: 0.5 },
  { tick: 960, time: 1480, msPerTick: 1 },
  { tick: 1920, time: 2440, msPerTick: 0.25 },
];

/** Spans that join where one gives way to the next, as a tempo map has them. */
const joined = fc
  .array(
    fc.record({
      length: fc.integer({ min: 1, max: 4000 }),
      msPerTick: fc.integer({ min: 1000, max: 40_000 }).map((value) => value / 1e4),
    }),
    { minLength: 1, maxLength: 6 },
  )
  .map((pieces) => {
    let at = { tick: 0, time: 250 };
    return pieces.map(({ length, msPerTick }): Span => {
      const span = { ...at, msPerTick };
      at = { tick: at.tick + length, time: at.time + length * msPerTick };
      return span;
    });
  });

describe('timeAt', () => {
  it.each([
    [0, 1000],
    [480, 1240],
    [960, 1480],
    [961, 1481],
    [1920, 2440],
    [2920, 2690],
    [-100, 950],
  ])('tick %i is at %f', (tick, time) => {
    expect(timeAt(spans, tick)).toBeCloseTo(time, 9);
  });

  it('is 0 without spans', () => {
    expect(timeAt([], 960)).toBe(0);
  });
});

describe('tickAt', () => {
  it.each([
    [1000, 0],
    [1240, 480],
    [1480, 960],
    [1480.5, 960.5],
    [2440, 1920],
    [2690, 2920],
    [950, -100],
  ])('at %f it is tick %f', (time, tick) => {
    expect(tickAt(spans, time)).toBeCloseTo(tick, 9);
  });

  it('is 0 without spans', () => {
    expect(tickAt([], 1000)).toBe(0);
  });

  it('gives back the tick that timeAt was given', () => {
    fc.assert(
      fc.property(joined, fc.integer({ min: -1000, max: 30_000 }), (made, tick) => {
        expect(tickAt(made, timeAt(made, tick))).toBeCloseTo(tick, 5);
      }),
    );
  });

  it('never goes back while time goes on', () => {
    const times = fc.array(
      fc.integer({ min: 0, max: 6e6 }).map((value) => value / 100),
      { minLength: 2, maxLength: 20 },
    );
    fc.assert(
      fc.property(joined, times, (made, some) => {
        const read = [...some].sort((one, other) => one - other).map((time) => tickAt(made, time));
        read.forEach((tick, index) => {
          expect(tick).toBeGreaterThanOrEqual((read[index - 1] ?? Number.NEGATIVE_INFINITY) - 1e-6);
        });
      }),
    );
  });
});
