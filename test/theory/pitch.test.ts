import teoria from 'teoria';
import { describe, expect, it } from 'vitest';
import {
  frequency,
  type MidiNote,
  midiNote,
  noteName,
  noteNumber,
  pitchClass,
} from '../../src/theory/pitch.js';

describe('noteNumber', () => {
  // Tunings low to high; numbers computed from middle C = 60 and twelve to the octave.
  it.each([
    ['mandolin', ['G3', 'D4', 'A4', 'E5'], [55, 62, 69, 76]],
    ['mandola', ['C3', 'G3', 'D4', 'A4'], [48, 55, 62, 69]],
    ['octave mandolin', ['G2', 'D3', 'A3', 'E4'], [43, 50, 57, 64]],
    ['mandocello', ['C2', 'G2', 'D3', 'A3'], [36, 43, 50, 57]],
  ])('%s', (_, names, numbers) => {
    expect(names.map(noteNumber)).toStrictEqual(numbers);
    expect(names.map((name) => teoria.note(name).midi())).toStrictEqual(numbers);
  });

  it.each([
    ['C-1', 0],
    ['C4', 60],
    ['Bb3', 58],
    ['A#3', 58],
    ['Cb4', 59],
    ['B#3', 60],
    ['G9', 127],
  ])('%s is %i', (name, number) => {
    expect(noteNumber(name)).toBe(number);
  });

  it.each(['G#9', 'Cb-1', 'H3', 'C', '', 'x'])('%s is none', (name) => {
    expect(noteNumber(name)).toBeNull();
  });
});

describe('noteName', () => {
  it('names the twelve notes, in every octave', () => {
    const names = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
    expect(Array.from({ length: 12 }, (_, at) => noteName(at))).toStrictEqual(names);
    expect(Array.from({ length: 12 }, (_, at) => noteName(60 + at))).toStrictEqual(names);
    expect(names.map(pitchClass)).toStrictEqual(names.map((_, at) => at));
  });
});

describe('midiNote', () => {
  it('takes whole numbers from 0 to 127', () => {
    expect([0, 60, 127].map(midiNote)).toStrictEqual([0, 60, 127]);
  });

  it.each([-1, 128, 60.5, Number.NaN, Number.POSITIVE_INFINITY])('refuses %d', (value) => {
    expect(() => midiNote(value)).toThrow(RangeError);
  });

  it('cannot be mixed up with a plain number', () => {
    // @ts-expect-error a number without its unit
    const plain: MidiNote = 60;
    expect(frequency(plain)).toBe(frequency(midiNote(60)));
  });
});

describe('frequency', () => {
  it.each([
    ['A4', 440, 12, 'ISO 16:1975, from memory'],
    ['D4', 293.6647679174, 9, 'OEIS A329209'],
    ['G4', 391.9954359817, 9, 'OEIS A329214'],
    ['B4', 493.8833012561, 9, 'OEIS A329218'],
    ['G3', 195.9977, 4, '440 · 2^(−14/12)'],
    ['E5', 659.2551, 4, '440 · 2^(7/12)'],
  ])('%s is %d Hz', (name, hertz, digits) => {
    expect(frequency(noteNumber(name) as MidiNote)).toBeCloseTo(hertz, digits);
  });

  it('agrees with a second library on every note of four tunings', () => {
    for (const name of ['C2', 'G2', 'D3', 'A3', 'G3', 'D4', 'A4', 'E5']) {
      expect(frequency(noteNumber(name) as MidiNote)).toBeCloseTo(teoria.note(name).fq(), 6);
    }
  });
});

describe('pitchClass', () => {
  it.each([
    ['C', 0],
    ['Db', 1],
    ['C#', 1],
    ['E#', 5],
    ['Fb', 4],
    ['Cb', 11],
    ['B#', 0],
    ['B', 11],
  ])('%s is %i', (name, place) => {
    expect(pitchClass(name)).toBe(place);
  });

  it.each(['', 'H', 'x', '4'])('throws on %j', (name) => {
    expect(() => pitchClass(name)).toThrow(RangeError);
  });
});
