import { describe, expect, it } from 'vitest';
import { courseTuning } from '../../src/listen/course-tuning.js';
import {
  fluidsynth,
  type Plucked,
  plucked,
  pluckedInstrument,
  programs,
  seeded,
  withNoise,
} from './chord-takes.mjs';

const hertzOf = (note: number): number => 440 * 2 ** ((note - 69) / 12);

/** A course that is struck and rings for 1.7 s, as it is heard. */
function tuned(
  note: number,
  cents: number,
  more: Partial<Plucked> & { rate?: number; noise30?: boolean; ringMs?: number } = {},
) {
  const { rate = 44_100, noise30 = false, ringMs = 1700, ...string } = more;
  const instrument = { ...pluckedInstrument(5), decay: 1, stiffness: 8e-5, strings: 1, detune: 0, ...string };
  const clean = plucked([{ at: 100, notes: [note], velocity: 90, length: ringMs, spread: 0 }], instrument, {
    rate,
    cents,
  });
  const { samples } = noise30 ? withNoise(clean, 30, 3) : clean;
  return courseTuning(samples, {
    attack: Math.round(0.1 * rate),
    end: Math.round((0.1 + ringMs / 1000) * rate),
    rate,
    hertz: hertzOf(note),
    strings: instrument.strings,
  });
}
/** A stiff string's first partial is sharp by this, cents. */
const stretch = 865.6 * 8e-5;

describe('how a course is tuned', () => {
  it.each([
    [55, -18.3],
    [62, 0],
    [69, 7.7],
    [76, 31.4],
    [36, -4.2],
    [67, -95],
  ])('finds note %i at %f cents within a cent', (note, cents) => {
    expect(Math.abs((tuned(note, cents)?.cents ?? 999) - cents - stretch)).toBeLessThan(0.5);
    const noisy = tuned(note, cents, { noise30: true, rate: 16_000 });
    expect(Math.abs((noisy?.cents ?? 999) - cents - stretch)).toBeLessThan(1);
  });

  it.each([2, 4.5, 9, 15, 24])('tells the strings of a pair apart: %f cents', (apart) => {
    const found = tuned(62, -6, { strings: 2, detune: apart, noise30: true });
    expect(Math.abs((found?.apartCents ?? 999) - apart)).toBeLessThan(0.7);
    expect(Math.abs((found?.cents ?? 999) + 6 - stretch)).toBeLessThan(1);
  });

  it('says nothing of a pair in unison and of a single string', () => {
    expect(tuned(69, 3, { strings: 2, detune: 0 })?.apartCents).toBeLessThan(0.7);
    expect(tuned(69, 3)?.apartCents).toBe(0);
  });

  it('says nothing of what rings too short, of another note, of noise and of silence', () => {
    expect(tuned(62, 0, { ringMs: 400 })).toBeNull();
    const random = seeded(2);
    const course = { attack: 0, end: 60_000, rate: 44_100, hertz: 293.66, strings: 2 };
    expect(
      courseTuning(
        Float32Array.from({ length: 60_000 }, () => random() - 0.5),
        course,
      ),
    ).toBeNull();
    expect(courseTuning(new Float32Array(60_000), course)).toBeNull();
    const other = plucked(
      [{ at: 0, notes: [65], velocity: 90, length: 1500, spread: 0 }],
      pluckedInstrument(5),
    );
    expect(courseTuning(other.samples, course)).toBeNull();
  });

  it.each(['mandolin', 'banjo', 'ukulele'])('hears by how much a %s was turned', (name) => {
    const at = (cents: number) => {
      const program = programs[name] as readonly [number, number];
      const { samples, rate } = fluidsynth(
        [{ at: 100, notes: [69], velocity: 90, length: 1700, spread: 0 }],
        program,
        cents,
      );
      return courseTuning(samples, { attack: 4410, end: 79_000, rate, hertz: 440, strings: 1 })?.cents ?? 999;
    };
    // A step of the bend is 0.024 cents.
    expect(Math.abs(at(-25) - at(0) + 25)).toBeLessThan(0.3);
  });
});
