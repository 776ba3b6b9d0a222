import { describe, expect, it } from 'vitest';
import { OnsetDetector } from '../../src/listen/onsets.js';
import { type CourseHeard, TuningEar } from '../../src/listen/tuning-ear.js';
import { plucked, pluckedInstrument, type Sound, seeded, withNoise } from './chord-takes.mjs';

const hertzOf = (note: number): number => 440 * 2 ** ((note - 69) / 12);
const coursesOf = (notes: readonly number[], strings = 2) =>
  notes.map((note) => ({ hertz: hertzOf(note), strings }));
const mandolin = [55, 62, 69, 76];
const rate = 24_000;

/** What the ear says of sound that comes in pieces of 10 ms. */
function heard({ samples, rate: own }: Sound, courses = coursesOf(mandolin), begin = 0): CourseHeard[] {
  const ear = new TuningEar(own, courses, begin);
  const detector = new OnsetDetector(own);
  const told: CourseHeard[] = [];
  const piece = Math.round(own / 100);
  for (let at = 0; at < samples.length; at += piece) {
    const next = samples.subarray(at, at + piece);
    if (at >= begin) told.push(...ear.push(next));
    for (const { sample } of detector.push(next)) told.push(...ear.onset(sample));
  }
  return told;
}

/** A string that is struck and rings: by how many cents it is off, how far apart its pair is. */
function struck(note: number, cents: number, apart: number, seed: number, length = 1900): Sound {
  const instrument = { ...pluckedInstrument(seed), decay: 1.4, stiffness: 0, strings: 2, detune: apart };
  const stroke = { at: 500, notes: [note], velocity: 90, length, spread: 0 };
  return withNoise(plucked([stroke], instrument, { rate, cents }), 35, seed);
}

const quantile = (values: readonly number[], share: number): number =>
  [...values].sort((one, other) => one - other)[Math.floor(share * (values.length - 1))] as number;

describe('tuning by ear', () => {
  it('finds each course and how far it is off to a cent, in pairs as well', () => {
    const random = seeded(11);
    const errors: number[] = [];
    for (let index = 0; index < 8; index += 1) {
      const course = index % 4;
      const cents = 80 * (random() - 0.5);
      const apart = 8 * random();
      const last = heard(struck(mandolin[course] as number, cents, apart, 20 + index)).at(-1);
      expect(last?.course).toBe(course);
      errors.push(Math.abs((last?.cents ?? 999) - cents));
    }
    console.log(
      `tuning: error median ${quantile(errors, 0.5).toFixed(2)}, p95 ${quantile(errors, 0.95).toFixed(2)} cents`,
    );
    expect(quantile(errors, 0.5)).toBeLessThan(1);
    expect(quantile(errors, 0.95)).toBeLessThan(2);
  });

  it('says it soon, and once more when the course has rung', () => {
    const told = heard(struck(62, -20, 0, 4));
    expect(told.map(({ course }) => course)).toEqual([1, 1]);
    for (const { cents } of told) expect(Math.abs((cents ?? 999) + 20)).toBeLessThan(1.5);
  });

  it.each([55, 69, 76])('notices a pair that is 4 cents apart: %i', (note) => {
    const last = heard(struck(note, 0, 4, 8)).at(-1);
    expect(Math.abs((last?.apartCents ?? 0) - 4)).toBeLessThan(1);
  });

  it('says what else it is: between courses, an octave off', () => {
    for (const note of [58, 43, 88]) {
      const last = heard(struck(note, 0, 0, 6)).at(-1);
      expect(last).toMatchObject({ course: null, cents: null });
      expect(Math.abs((last?.note ?? 0) - note)).toBeLessThan(0.4);
    }
  });

  it('hears a course beside another that still rings, and says that it does', () => {
    const instrument = { ...pluckedInstrument(3), decay: 1.6, stiffness: 0, strings: 1, detune: 0 };
    const strokes = [55, 62].map((note, index) => ({
      at: 400 + 900 * index,
      notes: [note],
      velocity: 90,
      length: 3000,
      spread: 0,
    }));
    const sound = plucked(strokes, instrument, { rate });
    const [first, ...more] = heard(sound);
    expect(first).toMatchObject({ course: 0, others: false });
    expect(more.at(-1)).toMatchObject({ course: 1, others: true });
  });

  it('says nothing of what is stopped at once, and nothing of noise', () => {
    expect(heard(struck(62, 0, 0, 5, 90)).filter(({ cents }) => cents !== null)).toEqual([]);
    const random = seeded(3);
    const noise = Float32Array.from(
      { length: 3 * rate },
      (_, at) => (at > rate ? 0.2 : 0.001) * (random() - 0.5),
    );
    expect(heard({ samples: noise, rate })).toEqual([]);
  });

  it('hears banjo and ukulele by their own courses, and sound that began long before', () => {
    const ukulele = coursesOf([67, 60, 64, 69], 1);
    for (const [course, note] of [67, 60, 64, 69].entries())
      expect(heard(struck(note, -12, 0, 30 + course), ukulele).at(-1)?.course).toBe(course);
    const late = heard(struck(69, 7, 0, 9), coursesOf(mandolin), Math.round(0.05 * rate));
    expect(late.at(-1)).toMatchObject({ course: 2, cents: expect.closeTo(7, 0) });
  });
});
