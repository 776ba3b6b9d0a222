import { describe, expect, it } from 'vitest';
import { bowedLoop, bowedNote, isPlucked, pluckedNote } from '../../../src/player/synth/lead.js';
import { noteHertz } from '../../../src/player/synth/tables.js';
import { woodBlock } from '../../../src/player/synth/wood-block.js';
import { centsOff, peak, piece, rms } from './measure.js';

const rate = 48_000;
/** G3 to E6: what tunes lie within. */
const notes = Array.from({ length: 34 }, (_, index) => 55 + index);

/** Samples of a note for so many seconds, what goes round played out. */
function bowed(note: number, seconds: number, strength = 2): Float32Array {
  const hertz = noteHertz(note);
  const once = bowedNote(rate, hertz, strength);
  const { from, to } = bowedLoop(rate, hertz);
  return Float32Array.from(
    { length: rate * seconds },
    (_, at) => once[at < to ? at : from + ((at - from) % (to - from))] as number,
  );
}

/** Energy between two frequencies in some samples, with Hann's window, by the transform's own sum at each of its frequencies. */
function energy(samples: Float32Array, from: number, to: number): number {
  const size = samples.length;
  let sum = 0;
  for (let bin = Math.ceil((from * size) / rate); bin <= (to * size) / rate; bin += 1) {
    let [real, imaginary] = [0, 0];
    for (let at = 0; at < size; at += 1) {
      const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * (at + 0.5)) / size);
      const angle = (2 * Math.PI * bin * at) / size;
      real += window * (samples[at] as number) * Math.cos(angle);
      imaginary -= window * (samples[at] as number) * Math.sin(angle);
    }
    sum += real * real + imaginary * imaginary;
  }
  return sum;
}

/** As loud as they are sent: click and strings by their velocity, as the built-in sound has them. */
const [accentGain, beatGain, tuneGain] = [96 / 127, 72 / 127, (127 / 180) * (88 / 127)];
/** Around its beat a click is looked at from so long before it to so long after it, ms: it has fallen by 30 dB by then. */
const [aheadMs, behindMs] = [15, 25];
/** A third of an octave each way. */
const third = 2 ** (1 / 3);
const clicks = [
  {
    name: 'the accented beat',
    samples: woodBlock(rate, true),
    gain: accentGain,
    modes: [1245, 1245 * 2.756],
  },
  { name: 'the other beats', samples: woodBlock(rate, false), gain: beatGain, modes: [880, 880 * 2.756] },
] as const;

/** What is looked at of a sound when a click comes so many ms after its beginning. */
function around(samples: Float32Array, ms: number): Float32Array {
  const from = Math.round(((ms - aheadMs) * rate) / 1000);
  return Float32Array.from(
    { length: ((aheadMs + behindMs) * rate) / 1000 },
    (_, at) => samples[from + at] ?? 0,
  );
}

/** How far a click lies above a tune in the band around a mode, dB. */
function above(click: (typeof clicks)[number], mode: number, tune: Float32Array): number {
  const own = energy(around(click.samples, 0), mode / third, mode * third) * click.gain ** 2;
  return 10 * Math.log10(own / (energy(tune, mode / third, mode * third) * tuneGain ** 2 + 1e-20));
}

describe('the tune’s sounds', () => {
  it.each([55, 62, 69, 76, 88])('are in tune: note %i', (note) => {
    const hertz = noteHertz(note);
    expect(Math.abs(centsOff(bowed(note, 2), rate, hertz, 250, 1790))).toBeLessThan(3);
    expect(Math.abs(centsOff(pluckedNote(rate, hertz, 2), rate, hertz, 50, 400))).toBeLessThan(3);
  });

  it('goes round without a seam, however long a note lasts', () => {
    for (const note of notes) {
      const { from, to } = bowedLoop(rate, noteHertz(note));
      const samples = bowed(note, 1.5);
      const step = (at: number): number => Math.abs((samples[at] as number) - (samples[at - 1] as number));
      const usual = Math.max(...Array.from({ length: to - from - 1 }, (_, at) => step(from + 1 + at)));
      expect(step(to)).toBeLessThanOrEqual(usual * 1.1);
      expect(rms(piece(samples, rate, 1200, 1500)) / rms(piece(samples, rate, 300, 600))).toBeCloseTo(1, 1);
    }
  });

  it('fades when it is plucked, and stays when it is bowed', () => {
    const plucked = pluckedNote(rate, 440, 2);
    expect(rms(piece(plucked, rate, 800, 900))).toBeLessThan(0.3 * rms(piece(plucked, rate, 20, 120)));
    expect(peak(plucked)).toBeLessThan(0.31);
    expect(peak(bowed(69, 1))).toBeLessThan(0.21);
  });

  it.each([
    [40, false],
    [53, false],
    [73, false],
    [25, true],
    [105, true],
    [0, true],
    [32, true],
    [45, true],
  ])('program %i is plucked: %s', (program, plucked) => {
    expect(isPlucked(program)).toBe(plucked);
  });
});

describe('the click through the tune', () => {
  for (const click of clicks)
    it(`is heard: ${click.name}`, () => {
      const least = { sounding: 1e9, begins: 1e9, plucked: 1e9, low: 1e9 };
      for (const note of notes) {
        const hertz = noteHertz(note);
        const tone = bowed(note, 1);
        const [, second] = click.modes;
        least.sounding = Math.min(least.sounding, above(click, second, around(tone, 400)));
        least.begins = Math.min(least.begins, above(click, second, around(tone, 0)));
        least.plucked = Math.min(least.plucked, above(click, second, around(pluckedNote(rate, hertz, 2), 0)));
        const [first] = click.modes;
        least.low = Math.min(
          least.low,
          above(click, first, around(tone, 400)),
          above(click, first, around(pluckedNote(rate, hertz, 2), 0)),
        );
      }
      // In the band of its second mode a click is ten times as strong as the tune and more, in amplitude; in that of its first it is
      // still the stronger one, even where a note has the very same pitch.
      expect(least.sounding).toBeGreaterThan(20);
      expect(least.begins).toBeGreaterThan(40);
      expect(least.plucked).toBeGreaterThan(20);
      expect(least.low).toBeGreaterThan(2.5);
    });
});
