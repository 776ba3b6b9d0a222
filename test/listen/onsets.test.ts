import { describe, expect, it } from 'vitest';
import { OnsetDetector } from '../../src/listen/onsets.js';
import { normals, withNoise } from './noisy.js';
import { performance } from './performance.js';
import { instruments, renderable, rendered } from './rendered.js';
import { pieces, scored } from './scored.js';
import { plucked } from './strings.js';

const rate = 44_100;
const played = performance({ bpm: 200, bars: 4, seed: 41, ups: true });
const clean = plucked(played, rate);
const times = played.map(({ at }) => at);

function heard(samples: Float32Array, at = rate, size = 441): number[] {
  const detector = new OnsetDetector(at);
  return [...pieces(samples, size)]
    .flatMap((piece) => detector.push(piece))
    .map(({ sample }) => (1000 * sample) / at);
}

it('hears every stroke where it is, and nothing else', () => {
  const score = scored(times, heard(clean));
  expect([score.missed, score.extra]).toEqual([0, 0]);
  expect(score.p95).toBeLessThan(1);
});

it('hears the same at any gain of the microphone', () => {
  const all = heard(clean);
  for (const gain of [0.01, 0.1, 2]) expect(heard(clean.map((sample) => gain * sample))).toEqual(all);
});

it('hears the same in pieces of any size', () => {
  const all = heard(clean);
  for (const size of [64, 1000, 4097, clean.length]) expect(heard(clean, rate, size)).toEqual(all);
});

it('hears strokes in noise 10 dB below them', () => {
  expect(scored(times, heard(withNoise(clean, 10, 3))).f).toBeGreaterThanOrEqual(0.93);
});

it('takes the noise of a room for no stroke, however loud', () => {
  for (const level of [1e-4, 1e-2]) {
    const normal = normals(8);
    const noise = Float32Array.from({ length: 10 * rate }, () => level * normal());
    expect(heard(noise).length).toBeLessThanOrEqual(1);
  }
});

describe.each([16_000, 22_050, 44_100, 48_000, 96_000])('at %i samples a second', (other) => {
  it('strokes are heard where they are, and told within 60 ms of sounding', () => {
    const count = { struck: 0, told: 0, paired: 0 };
    for (const seed of [41, 42]) {
      const struck = performance({ bpm: 200, bars: 12, seed, ups: true });
      const detector = new OnsetDetector(other);
      const found: number[] = [];
      let [end, longest] = [0, 0];
      for (const piece of pieces(withNoise(plucked(struck, other), 30, 6), Math.round(other / 100))) {
        end += piece.length;
        for (const { sample } of detector.push(piece)) {
          found.push((1000 * sample) / other);
          longest = Math.max(longest, (1000 * (end - sample)) / other);
        }
      }
      const score = scored(
        struck.map(({ at }) => at),
        found,
      );
      expect(score.p95).toBeLessThan(3);
      expect(longest).toBeLessThan(60);
      count.struck += struck.length;
      count.told += found.length;
      count.paired += score.pairs.length;
    }
    expect((2 * count.paired) / (count.struck + count.told)).toBeGreaterThanOrEqual(0.99);
  });
});

it('tells of a stroke within 60 ms of its sounding', () => {
  const detector = new OnsetDetector(rate);
  const waits: number[] = [];
  let end = 0;
  for (const piece of pieces(withNoise(clean, 20, 4))) {
    end += piece.length;
    for (const { sample } of detector.push(piece)) waits.push((1000 * (end - sample)) / rate);
  }
  expect(waits.length).toBeGreaterThanOrEqual(played.length - 1);
  expect(Math.max(...waits)).toBeLessThan(60);
});

const missing = renderable();
for (const [name, instrument] of Object.entries(instruments))
  it(`hears a rendered ${name}`, ({ skip }) => {
    skip(missing !== null, missing ?? '');
    const score = scored(times, heard(withNoise(rendered(played, instrument), 20, 5)));
    expect(score.f).toBeGreaterThanOrEqual(0.95);
  });
