import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { apart, leastMs, steered } from '../../src/band/steer.js';
import { type Span, timeAt } from '../../src/time/segment.js';

const line = (time: number, msPerTick = 0.5): Span[] => [{ tick: 0, time, msPerTick }];

describe('a correction', () => {
  it('is spread: 10 ms in half a second, at a fiftieth of the tempo', () => {
    const made = steered(line(0), line(10), 1000);
    expect(timeAt(made, 2000)).toBe(1000);
    // Half of it is over halfway.
    expect(timeAt(made, 2490) - 2490 * 0.5).toBeCloseTo(5, 0);
    expect(timeAt(made, 4000)).toBe(2010);
    for (let tick = 2000; tick < 4000; tick += 10) {
      const ms = (timeAt(made, tick + 10) - timeAt(made, tick)) / 10;
      expect(ms).toBeGreaterThan(0.489);
      expect(ms).toBeLessThan(0.511);
    }
  });

  it('changes nothing of what was before', () => {
    const played = [
      { tick: 0, time: 0, msPerTick: 0.5 },
      { tick: 1000, time: 500, msPerTick: 0.6 },
    ];
    const made = steered(played, line(30), 1100);
    for (const tick of [0, 500, 1000, 1500, 1999]) expect(timeAt(made, tick)).toBe(timeAt(played, tick));
  });

  it('meets what is wanted, never goes back, and never leaps', () => {
    const tempo = fc.double({ min: 0.2, max: 1, noNaN: true });
    const lines = fc
      .tuple(
        fc.double({ min: -240, max: 240, noNaN: true }),
        fc.array(fc.tuple(fc.integer({ min: 1, max: 4000 }), tempo), { maxLength: 5 }),
        tempo,
      )
      .map(([off, steps, first]) => {
        const spans: Span[] = [{ tick: 0, time: 0, msPerTick: first }];
        for (const [ticks, msPerTick] of steps) {
          const last = spans.at(-1) as Span;
          const tick = last.tick + ticks;
          spans.push({ tick, time: timeAt([last], tick), msPerTick });
        }
        return { played: spans, wanted: spans.map((one) => ({ ...one, time: one.time + off })) };
      });
    fc.assert(
      fc.property(lines, fc.double({ min: 300, max: 4000, noNaN: true }), ({ played, wanted }, from) => {
        const made = steered(played, wanted, from);
        // What nobody could hear is left as it is.
        const off = Math.abs((played[0]?.time ?? 0) - (wanted[0]?.time ?? 0));
        const left = off < leastMs ? off + 1e-6 : 1e-6;
        let before = Number.NEGATIVE_INFINITY;
        for (let tick = 0; tick < 20_000; tick += 170) {
          const time = timeAt(made, tick);
          if (timeAt(played, tick) >= from) expect(time).toBeGreaterThan(before);
          before = time;
          const [late, early] = [timeAt(played, tick), timeAt(wanted, tick)];
          // What lies long behind is not kept.
          if (late < from) continue;
          // Between the two lines all the time, and on the wanted one after two seconds.
          expect(time).toBeGreaterThanOrEqual(Math.min(late, early) - 1e-6);
          expect(time).toBeLessThanOrEqual(Math.max(late, early) + 1e-6);
          if (early > from + 2001) expect(Math.abs(time - early)).toBeLessThanOrEqual(left);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('leaves alone what stands still', () => {
    const still = [...line(0), { tick: 1000, time: 500, msPerTick: 1e9 }];
    expect(steered(still, still, 5000).at(-1)).toMatchObject({ msPerTick: 1e9 });
  });
});

describe('lines', () => {
  it('are apart by as much as at the tick where they are most', () => {
    const other = [...line(0), { tick: 1000, time: 500, msPerTick: 0.6 }];
    expect(apart(line(0), other, 0, 2000, 1e6)).toBeCloseTo(100, 9);
    expect(apart(line(0), line(3), 0, 2000, 1e6)).toBe(3);
  });
});
