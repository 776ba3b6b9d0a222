import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CardClock } from '../../../src/player/outputs/card-clock.js';
import { followMs } from '../../../src/player/outputs/sound.js';

/** A card whose clock began at `start`, runs slower by `ppm` millionths, and is read in steps of its buffer. */
function card(start: number, ppm: number, bufferMs: number) {
  const rate = 1 - ppm / 1e6;
  const true_ = (now: number): number => ((now - start) * rate) / 1000;
  return {
    true_,
    read: (now: number): number => (Math.floor(true_(now) / (bufferMs / 1000)) * bufferMs) / 1000,
  };
}

/** Looks as often as the built-in sound does, for a while; answers the clock and when it was looked at last. */
function looked(of: ReturnType<typeof card>, start: number, ms: number, seed: number) {
  const clock = new CardClock();
  let state = seed >>> 0;
  let now = start + 400;
  let count = 0;
  for (const end = now + ms; now < end; ) {
    clock.look(now, of.read(now));
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    // Timers are a little late, now and then by much.
    now +=
      (followMs[count % followMs.length] as number) + (state / 2 ** 32) ** 8 * 40 + (state / 2 ** 32) * 2;
    count += 1;
  }
  return { clock, now };
}

describe('CardClock', () => {
  it('finds the card’s place and drift through the steps it is read in', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -200, max: 200 }),
        fc.integer({ min: 5, max: 50 }),
        fc.nat(),
        (ppm, buffer, seed) => {
          const one = card(10_000, ppm, buffer);
          const { clock, now } = looked(one, 10_000, 30_000, seed);
          // 150 ms ahead, as the built-in sound wants its messages.
          const error = (clock.cardTime(now + 150) - one.true_(now + 150)) * 1000;
          // Less than the finest ear notices (6 ms, Friberg and Sundberg 1995).
          expect(Math.abs(error)).toBeLessThan(5);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('does not wander over hours', () => {
    const one = card(0, 80, 50);
    const { clock, now } = looked(one, 0, 2 * 3600 * 1000, 5);
    expect(Math.abs(clock.cardTime(now) - one.true_(now)) * 1000).toBeLessThan(2);
    expect(Math.abs(clock.driftPpm - 80)).toBeLessThan(60);
  });

  it('is known from the first look, and no worse than a buffer', () => {
    const clock = new CardClock();
    expect(clock.known).toBe(false);
    clock.look(1000, 0.5);
    expect(clock.known).toBe(true);
    expect(clock.cardTime(1100)).toBeCloseTo(0.6, 9);
  });
});
