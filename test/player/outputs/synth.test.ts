import { describe, expect, it } from 'vitest';
import { clickSamples, noteHertz, pluckSamples } from '../../../src/player/outputs/synth.js';

const rates = [22_050, 44_100, 48_000, 96_000];
const peak = (samples: Float32Array): number =>
  samples.reduce((most, one) => Math.max(most, Math.abs(one)), 0);
const energy = (samples: Float32Array): number => samples.reduce((sum, one) => sum + one * one, 0);

/** The frequency at which a sound is most like itself, looked for between two limits, to a part of a sample. */
function pitch(samples: Float32Array, rate: number, low: number, high: number): number {
  const window = samples.subarray(2000, 2000 + Math.ceil((rate / low) * 16));
  const like = (lag: number): number => {
    let sum = 0;
    let own = 0;
    for (let index = 0; index + lag < window.length; index += 1) {
      sum += (window[index] as number) * (window[index + lag] as number);
      own += (window[index] as number) ** 2 + (window[index + lag] as number) ** 2;
    }
    return (2 * sum) / own;
  };
  let best = Math.floor(rate / high);
  for (let lag = best; lag <= rate / low; lag += 1) if (like(lag) > like(best)) best = lag;
  // The top of the parabola through the best lag and its neighbours.
  const [left, middle, right] = [like(best - 1), like(best), like(best + 1)];
  return rate / (best + (left - right) / (2 * (left - 2 * middle + right)));
}

describe('noteHertz', () => {
  // A4 = 440 Hz; OEIS A329209, A329214 and A329218 for D4, G4 and B4; G3 and E5 by the same formula.
  it.each([
    [69, 440],
    [62, 293.6647679174],
    [67, 391.9954359817],
    [71, 493.8833012561],
    [55, 195.9977],
    [76, 659.2551],
  ])('note %i has %f Hz', (note, hertz) => {
    expect(noteHertz(note)).toBeCloseTo(hertz, 4);
  });
});

describe('clickSamples', () => {
  it.each(rates)('is shorter than 50 ms and never above 1 at %i Hz', (rate) => {
    for (const hertz of [1175, 1760]) {
      const click = clickSamples(rate, hertz);
      expect(click.length / rate).toBeLessThan(0.05);
      expect(peak(click)).toBeLessThanOrEqual(1);
      expect(peak(click)).toBeGreaterThan(0.3);
    }
  });

  it('is at its loudest at once: most of it lies in its first third', () => {
    const click = clickSamples(48_000, 1760);
    expect(energy(click.subarray(0, click.length / 3))).toBeGreaterThan(0.9 * energy(click));
  });

  it('fades to next to nothing at its end, so that it ends without a crack', () => {
    const click = clickSamples(48_000, 1760);
    expect(peak(click.subarray(click.length - 48))).toBeLessThan(0.01);
  });
});

describe('pluckSamples', () => {
  it.each(rates)('is never above 1, nor silent, at %i Hz', (rate) => {
    for (const note of [43, 55, 69, 88, 100]) {
      const pluck = pluckSamples(rate, noteHertz(note), 0.5);
      expect(peak(pluck)).toBeLessThanOrEqual(1);
      expect(peak(pluck)).toBeGreaterThan(0.05);
    }
  });

  it.each([
    [69, 440],
    [62, 293.66],
    [76, 659.26],
    [55, 196],
  ])('sounds note %i at %f Hz, within a hundredth', (note, hertz) => {
    for (const rate of [44_100, 48_000]) {
      const heard = pitch(pluckSamples(rate, noteHertz(note)), rate, hertz * 0.6, hertz * 1.6);
      expect(Math.abs(heard / hertz - 1)).toBeLessThan(0.01);
    }
  });

  it('fades', () => {
    const pluck = pluckSamples(48_000, 440);
    expect(pluck).toHaveLength(1.6 * 48_000);
    expect(energy(pluck.subarray(48_000))).toBeLessThan(0.2 * energy(pluck.subarray(0, 24_000)));
  });

  it('is the same every time', () => {
    expect(pluckSamples(44_100, 440, 0.1)).toStrictEqual(pluckSamples(44_100, 440, 0.1));
    expect(clickSamples(44_100, 1760)).toStrictEqual(clickSamples(44_100, 1760));
  });
});
