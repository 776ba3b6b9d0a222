import { describe, expect, it } from 'vitest';
import { steadyCurve, type Timed, timeCurve } from '../../src/listen/time-curve.js';
import { normals } from './noisy.js';

/** Times of 128 strokes, 400 ms apart as written, played as `at` says with a spread of 12 ms. */
function played(at: (place: number) => number, seed: number): Timed[] {
  const normal = normals(seed);
  return Array.from({ length: 128 }, (_, index) => ({
    place: 400 * index,
    at: at(400 * index) + 12 * normal(),
  }));
}

describe('the curve of a player’s time', () => {
  it('is a line where the tempo is even', () => {
    const curve = timeCurve(played((place) => 2000 + 1.25 * place, 3));
    for (const place of [0, 20_000, 50_000]) {
      expect(Math.abs(curve.at(place) - (2000 + 1.25 * place))).toBeLessThan(5);
      expect(Math.abs(curve.slowness(place) - 1.25)).toBeLessThan(0.001);
    }
  });

  it('follows a tempo that rises', () => {
    // From the written tempo to a tenth more.
    const at = (place: number): number => 2000 + 512_000 * Math.log(1 + place / 512_000);
    const curve = timeCurve(played(at, 4));
    for (const place of [0, 13_000, 26_000, 50_800])
      expect(Math.abs(curve.at(place) - at(place))).toBeLessThan(9);
    expect(curve.slowness(50_800)).toBeCloseTo(1 / 1.0992, 2);
  });

  it('is not moved by single strokes far off', () => {
    const times = played((place) => place, 5).map((one, index) =>
      index % 16 === 5 ? { ...one, at: one.at + 150 } : one,
    );
    expect(Math.abs(timeCurve(times).at(25_000) - 25_000)).toBeLessThan(5);
  });

  it('goes on at the tempo of its ends', () => {
    const curve = timeCurve(played((place) => 1.1 * place, 6));
    expect(Math.abs(curve.at(60_000) - 66_000)).toBeLessThan(8);
    expect(curve.slowness(90_000)).toBe(curve.slowness(400 * 127));
  });

  it('stands at the middle where the tempo is known', () => {
    const curve = steadyCurve(
      [
        { place: 0, at: 1010 },
        { place: 500, at: 1990 },
        { place: 1000, at: 3000 },
      ],
      2,
    );
    expect(curve.at(250)).toBe(1500);
    expect(curve.slowness(0)).toBe(2);
  });
});
