import { expect, it } from 'vitest';
import { ConditionMeter } from '../../src/listen/condition.js';
import { normals, withNoise } from './noisy.js';
import { performance } from './performance.js';
import { plucked } from './strings.js';

const rate = 44_100;
const clean = plucked(performance({ bpm: 200, bars: 4, seed: 9 }), rate).subarray(rate);
const of = (samples: Float32Array): string => new ConditionMeter(rate).push(samples).condition;

it('is fine while somebody plays, with noise or without', () => {
  expect(of(clean.subarray(0, 4 * rate))).toBe('fine');
  expect(of(withNoise(clean, 20, 1).subarray(0, 4 * rate))).toBe('fine');
});

it('notices silence: zeros, and a little hiss', () => {
  const normal = normals(3);
  expect(of(new Float32Array(2 * rate))).toBe('silent');
  expect(of(Float32Array.from({ length: 2 * rate }, () => 1e-5 * normal()))).toBe('silent');
});

it('notices tops that are cut off, but no single loud sample', () => {
  const most = clean.reduce((peak, sample) => Math.max(peak, Math.abs(sample)), 0);
  const loud = clean.map((sample) => Math.max(-1, Math.min(1, (4 / most) * sample)));
  expect(of(loud.subarray(0, 4 * rate))).toBe('clipping');
  const fits = clean.map((sample) => sample / most);
  expect(of(fits.subarray(0, 4 * rate))).toBe('fine');
});

it('notices a room as loud as the playing', () => {
  expect(of(withNoise(clean, 0, 2).subarray(0, 4 * rate))).toBe('noisy');
});

it('says levels in dB below full scale', () => {
  const tone = Float32Array.from(
    { length: 3 * rate },
    (_, index) => 0.1 * Math.sin((2 * Math.PI * 441 * index) / rate),
  );
  const { level, peak, floor } = new ConditionMeter(rate).push(tone);
  expect(level).toBeCloseTo(-23, 1);
  expect(peak).toBeCloseTo(-20, 1);
  expect(floor).toBeCloseTo(-23, 1);
  expect(new ConditionMeter(rate).push(new Float32Array(0)).level).toBe(-120);
});
