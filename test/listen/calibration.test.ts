import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { roundTrip } from '../../src/listen/calibration.js';
import { soundPlace } from '../../src/listen/click-place.js';
import { woodBlock } from '../../src/player/synth/wood-block.js';
import { normals } from './noisy.js';
import { seeded } from './seeded.js';

const due = Array.from({ length: 16 }, (_, index) => 5000 + 1000 * index);
const range = { from: -60, to: 900, within: 12 };

describe('a round trip', () => {
  it('is found within 2 ms whatever it is, among other sounds and with some clicks missed', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 850, noNaN: true }),
        fc.integer({ min: 1, max: 1e6 }),
        (delay, seed) => {
          const random = seeded(seed);
          const normal = normals(seed);
          const heard = due
            .flatMap((at) => (random() < 0.15 ? [] : [at + delay + 1.5 * normal()]))
            .concat(Array.from({ length: 8 }, () => 5000 + 17_000 * random()))
            .sort((one, other) => one - other);
          const found = roundTrip(due, heard, range);
          expect(found).not.toBeNull();
          expect(Math.abs((found?.ms ?? 0) - delay)).toBeLessThan(2);
          expect(found?.spreadMs).toBeLessThan(5);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('tells spread, drift, and how many were heard', () => {
    const heard = due.map((at, index) => at + 200 + 0.1 * index);
    expect(roundTrip(due, heard, range)).toMatchObject({ heard: 16, made: 16 });
    expect(roundTrip(due, heard, range)?.driftMs).toBeCloseTo(6, 6);
    expect(roundTrip(due, heard, range)?.ms).toBeCloseTo(200.75, 6);
  });

  it('is not made of noise', () => {
    const random = seeded(9);
    const heard = Array.from({ length: 12 }, () => 5000 + 17_000 * random()).sort(
      (one, other) => one - other,
    );
    expect(roundTrip(due, heard, range)).toBeNull();
    expect(roundTrip(due, [], range)).toBeNull();
  });
});

describe('the place of a click', () => {
  const rate = 48_000;
  const click = woodBlock(rate, false);
  const heardAt = (place: number, gain: number, noise: number): Float32Array => {
    const normal = normals(2);
    const samples = Float32Array.from({ length: 7200 }, () => noise * normal());
    click.forEach((sample, index) => {
      const at = place + index;
      if (at < samples.length) samples[at] = (samples[at] as number) + gain * sample;
    });
    return samples;
  };

  it.each([
    [240, 0.5],
    [313, -0.2],
    [40, 0.05],
  ])('is found at %i, however loud and whichever way round', (place, gain) => {
    expect(Math.abs((soundPlace(heardAt(place, gain, 0.002), click) ?? 0) - place)).toBeLessThan(0.5);
  });

  it('is nowhere in noise', () => {
    expect(soundPlace(heardAt(0, 0, 0.1), click)).toBeNull();
    expect(soundPlace(new Float32Array(7200), click)).toBeNull();
  });
});
