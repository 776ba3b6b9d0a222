import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

type Align = (arrivals: readonly number[], wanted: readonly number[]) => [arrival: number, wanted: number][];
// The benches are plain JavaScript, without types.
const { alignInOrder } = (await import('./clock-align.mjs' as string)) as { alignInOrder: Align };

describe('pairing arrivals with what was due', () => {
  it('finds the partners of all that came, however much never did', () => {
    const lateness = fc.array(fc.option(fc.double({ min: 0, max: 4, noNaN: true }), { freq: 2 }), {
      minLength: 50,
      maxLength: 1500,
    });
    fc.assert(
      fc.property(lateness, (late) => {
        const wanted = late.map((_, index) => index * 10.4);
        const came = late.flatMap((ms, index) => (ms === null ? [] : [{ index, time: index * 10.4 + ms }]));
        const pairs = alignInOrder(
          came.map(({ time }) => time),
          wanted,
        );
        expect(pairs).toStrictEqual(came.map(({ index }, arrival) => [arrival, index]));
      }),
      { numRuns: 30 },
    );
  });

  it('takes a long silence for what it is', () => {
    const wanted = Array.from({ length: 3000 }, (_, index) => index * 10);
    const arrivals = wanted.filter((time) => time < 5000 || time > 25_000).map((time) => time + 0.1);
    const pairs = alignInOrder(arrivals, wanted);
    expect(pairs).toHaveLength(arrivals.length);
    for (const [arrival, index] of pairs)
      expect(arrivals[arrival]).toBeCloseTo((wanted[index] ?? 0) + 0.1, 6);
  });
});
