import { describe, expect, it } from 'vitest';
import { noteHertz, tableOf } from '../../../src/player/synth/tables.js';
import { chopLimits } from '../../../src/time/sound.js';
import { attack, brightness, centsOff, decayed, peak, piece, rms, steadyPart } from './measure.js';

/*
 * Bounds: an attack under 2 ms, a pitch within 3 cents and a chop that is damped within 40 to 90 ms are what was asked of the
 * sound; the rest is common practice, with its reason beside it.
 */

const rates = [22_050, 44_100, 48_000, 96_000];
const [click, bass, low, chop] = [0, 1, 2, 3] as const;
const made = (voice: number, note: number, rate = 48_000, length = 0, velocity = 96): Float32Array =>
  tableOf({ voice, note, velocity, length }).samples(rate);

/** E1 to E3, all that a double bass is given; G3 to the 20th fret of the highest course. */
const bassNotes = Array.from({ length: 25 }, (_, step) => 28 + step);
const courseNotes = Array.from({ length: 42 }, (_, step) => 55 + step);

describe.each(rates)('every voice at %i Hz', (rate) => {
  const all: [string, Float32Array][] = [
    ['accent', made(click, 76, rate)],
    ['beat', made(click, 77, rate)],
    ...[28, 35, 43].map((note): [string, Float32Array] => [`bass ${note}`, made(bass, note, rate)]),
    ...[55, 69, 88].map((note): [string, Float32Array] => [`low ${note}`, made(low, note, rate)]),
    ...[55, 69, 88].map((note): [string, Float32Array] => [`chop ${note}`, made(chop, note, rate, 60)]),
  ];

  it.each(all)('%s stays below full scale, is heard, and ends at nothing', (_, samples) => {
    expect(samples.every(Number.isFinite)).toBe(true);
    expect(peak(samples)).toBeLessThanOrEqual(0.751);
    expect(peak(samples)).toBeGreaterThan(0.35);
    // −60 dB of full scale: a step that is not heard.
    expect(Math.abs(samples.at(-1) ?? 1)).toBeLessThan(0.001);
  });

  it.each(all)('%s is there within 2 ms, and has no steady part', (_, samples) => {
    expect(attack(samples, rate)).toBeLessThan(2);
    // A sound of 60 ms has no whole number of periods: half a percent is what is left of that.
    expect(steadyPart(samples)).toBeLessThan(0.005);
  });
});

describe('pitch, within 3 cents', () => {
  it.each([44_100, 48_000])('of every bass note and every note of the courses, at %i Hz', (rate) => {
    for (const note of bassNotes)
      expect([note, Math.abs(centsOff(made(bass, note, rate), rate, noteHertz(note), 2, 600)) < 3]).toEqual([
        note,
        true,
      ]);
    for (const note of courseNotes)
      expect([note, Math.abs(centsOff(made(low, note, rate), rate, noteHertz(note), 2, 500)) < 3]).toEqual([
        note,
        true,
      ]);
  });

  it('of every chop of 60 ms, while it is heard', () => {
    for (const note of courseNotes)
      expect([
        note,
        Math.abs(centsOff(made(chop, note, 48_000, 60), 48_000, noteHertz(note), 2, 48)) < 3,
      ]).toEqual([note, true]);
  });
});

describe('a chop', () => {
  it.each([chopLimits.least, 60, chopLimits.most])(
    'of %i ms has fallen by 60 dB within that time, and is silent behind it',
    (ms) => {
      for (const note of [55, 62, 71, 79, 88]) {
        const samples = made(chop, note, 48_000, ms);
        expect(decayed(samples, 48_000, 60)).toBeGreaterThan(0.75 * ms);
        expect(decayed(samples, 48_000, 60)).toBeLessThan(ms);
        expect(samples.length).toBe((48_000 * ms) / 1000);
      }
    },
  );

  it('barks: most of it at its beginning, and falling from there, where a tone that is cut off stays', () => {
    for (const note of [62, 67, 71, 79]) {
      const samples = made(chop, note, 48_000, 60);
      const thirds = [0, 20, 40].map((from) => rms(piece(samples, 48_000, from, from + 20)));
      expect(thirds[1] as number).toBeLessThan(0.6 * (thirds[0] as number));
      expect(thirds[2] as number).toBeLessThan(0.15 * (thirds[0] as number));
      // The same course, ringing, is as strong in its second 20 ms as a string is.
      const ringing = made(low, note);
      expect(rms(piece(ringing, 48_000, 20, 40))).toBeGreaterThan(0.6 * rms(piece(ringing, 48_000, 0, 20)));
    }
  });

  it('has the noise of the pick in its first milliseconds, more than a low note has', () => {
    for (const note of [62, 67, 71, 79]) {
      const samples = made(chop, note, 48_000, 60);
      const first = brightness(piece(samples, 48_000, 0, 5), 48_000);
      expect(first).toBeGreaterThan(1.1 * brightness(piece(samples, 48_000, 30, 45), 48_000));
      expect(first).toBeGreaterThan(brightness(piece(made(low, note), 48_000, 0, 5), 48_000));
    }
  });
});

describe('what rings', () => {
  it('a low course for more than half a second, a high one for less than a low one', () => {
    expect(decayed(made(low, 55), 48_000, 60)).toBeGreaterThan(1000);
    expect(decayed(made(low, 67), 48_000, 60)).toBeGreaterThan(500);
    expect(decayed(made(low, 88), 48_000, 60)).toBeLessThan(decayed(made(low, 67), 48_000, 60));
  });

  it('a bass as long as two beats at 120, without a jump in loudness', () => {
    for (const note of [28, 35, 43]) {
      const samples = made(bass, note);
      expect(decayed(samples, 48_000, 60)).toBeGreaterThan(1000);
      const levels = [0, 200, 400, 600, 800].map((from) => rms(piece(samples, 48_000, from, from + 200)));
      for (const [index, level] of levels.slice(1).entries())
        expect(level).toBeLessThan(levels[index] as number);
    }
  });

  it('the two strings of a course beat: its level swells again while it fades', () => {
    // A cent up and a cent down at 1760 Hz lie 2 Hz apart: the first trough is at a quarter of a second.
    const samples = made(low, 93);
    const smooth = Math.exp(-3);
    const trough = rms(piece(samples, 48_000, 230, 270));
    expect(trough).toBeLessThan(smooth * rms(piece(samples, 48_000, 0, 40)));
  });
});

describe('how hard it is struck', () => {
  it.each([
    ['bass', bass, 33],
    ['low', low, 62],
    ['chop', chop, 62],
  ])('%s: the harder, the brighter', (_, voice, note) => {
    const bright = [20, 50, 80, 120].map((velocity) =>
      brightness(made(voice, note, 48_000, 60, velocity).subarray(0, 2400), 48_000),
    );
    for (const [index, one] of bright.slice(1).entries())
      expect(one).toBeGreaterThan(bright[index] as number);
  });

  it('the accented click is brighter, and both are gone within 60 ms', () => {
    const [accent, beat] = [made(click, 76), made(click, 77)];
    expect(brightness(accent, 48_000)).toBeGreaterThan(1.3 * brightness(beat, 48_000));
    for (const one of [accent, beat]) expect(decayed(one, 48_000, 40)).toBeLessThan(60);
  });
});

it('sounds the same every time', () => {
  expect(made(chop, 62, 44_100, 60)).toStrictEqual(made(chop, 62, 44_100, 60));
  expect(made(bass, 33)).toStrictEqual(made(bass, 33));
  expect(made(click, 76)).toStrictEqual(made(click, 76));
});
