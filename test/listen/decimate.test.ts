import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Decimator, decimationOf } from '../../src/listen/decimate.js';

const tone = (hertz: number, rate: number, count: number): Float32Array =>
  Float32Array.from({ length: count }, (_, at) => Math.sin((2 * Math.PI * hertz * at) / rate));
const loudest = (samples: Float32Array): number =>
  samples.reduce((most, one) => Math.max(most, Math.abs(one)), 0);

describe('Decimator', () => {
  it.each([
    [16_000, 1],
    [48_000, 1],
    [50_000, 1],
    [88_200, 2],
    [96_000, 2],
    [192_000, 4],
  ])('brings %i samples a second down by %i', (rate, factor) => {
    expect(decimationOf(rate)).toBe(factor);
  });

  it.each([2, 4])('leaves what can be heard as it is, and in time, by %i', (factor) => {
    const rate = 48_000 * factor;
    const out = new Decimator(factor).push(tone(5000, rate, rate / 10));
    const wanted = tone(5000, 48_000, out.length);
    // The beginning, where the filter is half filled, apart.
    for (let at = 20; at < out.length; at += 1) expect(out[at]).toBeCloseTo(wanted[at] as number, 2);
  });

  it.each([26_500, 40_000, 47_000])('takes %i Hz away, which would be heard as something lower', (hertz) => {
    const out = new Decimator(2).push(tone(hertz, 96_000, 9600));
    expect(loudest(out.subarray(20))).toBeLessThan(0.02);
  });

  it('answers the same whatever the pieces are', () => {
    const sound = tone(700, 96_000, 3000);
    const whole = [...new Decimator(2).push(sound)];
    fc.assert(
      fc.property(fc.array(fc.nat(300), { minLength: 1 }), (lengths) => {
        const decimator = new Decimator(2);
        const out: number[] = [];
        let at = 0;
        for (const length of [...lengths, sound.length]) {
          out.push(...decimator.push(sound.subarray(at, at + length)));
          at += length;
        }
        expect(out).toStrictEqual(whole);
      }),
    );
  });
});
