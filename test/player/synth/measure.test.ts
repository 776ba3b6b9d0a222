import { describe, expect, it } from 'vitest';
import { attack, brightness, centsOff, decayed, steadyPart } from './measure.js';

const rate = 48_000;

/** A tone with its harmonics, by sample numbers: how strong each sample is. */
const tone = (hertz: number, seconds: number, level: (index: number) => number): Float32Array =>
  Float32Array.from({ length: Math.round(seconds * rate) }, (_, index) => {
    let sum = 0;
    for (let harmonic = 1; harmonic < 8; harmonic += 1)
      sum += Math.sin((2 * Math.PI * harmonic * hertz * index) / rate) / harmonic;
    return level(index) * sum;
  });

describe('the measures, of tones that are known', () => {
  it.each([-40, -3, 0, 2, 5, 40])('finds a tone that is %d cents off', (cents) => {
    for (const hertz of [41.2, 196, 293.66, 1318.5]) {
      const short = tone(hertz * 2 ** (cents / 1200), 0.4, (index) => Math.exp(-index / 4000));
      expect(centsOff(short, rate, hertz, 2, 400)).toBeCloseTo(cents, 0);
    }
  });

  it('finds how long a tone takes to rise', () => {
    // Evenly over 10 ms: from a tenth to nine tenths are 8.
    const rising = tone(2000, 0.1, (index) => Math.min(1, index / 480));
    expect(attack(rising, rate)).toBeGreaterThan(7);
    expect(attack(rising, rate)).toBeLessThan(9);
  });

  it('finds how long a tone takes to fall', () => {
    // 60 dB in half a second, 20 in a sixth.
    const falling = tone(440, 1, (index) => 10 ** ((-3 * index) / (0.5 * rate)));
    expect(Math.abs(decayed(falling, rate, 60) - 500)).toBeLessThan(5);
    expect(Math.abs(decayed(falling, rate, 20) - 167)).toBeLessThan(5);
  });

  it('finds a steady part, and what is brighter', () => {
    const plain = tone(440, 0.1, () => 0.3);
    expect(steadyPart(plain)).toBeLessThan(1e-3);
    expect(steadyPart(plain.map((one) => one + 0.05))).toBeGreaterThan(0.05);
    expect(
      brightness(
        tone(880, 0.1, () => 1),
        rate,
      ) / brightness(plain, rate),
    ).toBeCloseTo(2, 1);
  });
});
