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

/** Chords whose strings ring a second and more, two strokes in three quarters of one: partials that decay. */
function ringing(seconds: number): Float32Array {
  const samples = new Float32Array(seconds * rate);
  for (let start = 0, stroke = 0; start < seconds; start += 0.375, stroke += 1)
    for (const hertz of stroke % 4 < 2 ? [294, 392, 494, 784] : [196, 330, 523])
      for (let partial = 1; partial <= 8; partial += 1) {
        const speed = (2 * Math.PI * hertz * partial) / rate;
        const end = Math.min(samples.length, Math.round((start + 1.2) * rate));
        for (let at = Math.round(start * rate); at < end; at += 1) {
          const since = at - start * rate;
          const decay = Math.exp((-since * (0.8 + 0.4 * partial)) / rate);
          samples[at] = (samples[at] as number) + (0.03 / partial) * decay * Math.sin(speed * since);
        }
      }
  return samples;
}

it('takes strings that ring on for no noise, however little is between the strokes', () => {
  const sound = ringing(4);
  const { condition, floor } = new ConditionMeter(rate).push(sound);
  expect(condition).toBe('fine');
  // By the quietest tenth of a second alone it would be noise.
  expect(floor).toBeGreaterThan(-30);
  expect(of(withNoise(sound, 0, 5))).toBe('noisy');
});

it('notices noise of any colour', () => {
  const normal = normals(7);
  let [slow, slower] = [0, 0];
  const rumble = Float32Array.from({ length: 4 * rate }, () => {
    const one = normal();
    slow = 0.99 * slow + 0.1 * one;
    slower = 0.9 * slower + 0.3 * one;
    return 0.02 * (slow + slower + 0.1 * one);
  });
  expect(of(rumble)).toBe('noisy');
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
