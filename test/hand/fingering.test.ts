import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  fingersText,
  fretsText,
  parseFrets,
  sameFingering,
  soundingNotes,
} from '../../src/hand/fingering.js';
import { fret, mandolin } from '../../src/hand/instrument.js';
import { fingering, instrument } from './shapes.js';

describe('parseFrets and fretsText', () => {
  it.each([
    ['7-5-2-3', [7, 5, 2, 3]],
    ['7-4-5-x', [7, 4, 5, null]],
    ['x-x-0-12', [null, null, 0, 12]],
  ])('%s', (text, frets) => {
    expect(parseFrets(text)).toStrictEqual(frets);
    expect(fretsText(parseFrets(text))).toBe(text);
  });

  it('read back whatever was written', () => {
    const one = fc.option(fc.integer({ min: 0, max: 24 }).map(fret));
    fc.assert(
      fc.property(fc.array(one, { minLength: 1, maxLength: 8 }), (frets) => {
        expect(parseFrets(fretsText(frets))).toStrictEqual(frets);
      }),
    );
  });

  it.each(['7-a', 'seven', '7.5-3', '7-X', '', '7--5', '7-4-'])('throw on %j', (text) => {
    expect(() => parseFrets(text)).toThrow(RangeError);
  });
});

describe('fingersText', () => {
  it.each(['3-1-2-x', '4-3-1-2', 'x-x-x-x'])('%s', (text) => {
    expect(fingersText(fingering('1-1-1-1', text.replaceAll('-', '')).fingers)).toBe(text);
  });
});

describe('soundingNotes', () => {
  // Common practice: the G chop, low course first, is D4 G4 B4 G5.
  it('sounds D4 G4 B4 G5 in 7-5-2-3', () => {
    expect(soundingNotes(mandolin, parseFrets('7-5-2-3'))).toStrictEqual([62, 67, 71, 79]);
  });

  it('has nothing for a course not played, nor for one the instrument has not', () => {
    expect(soundingNotes(mandolin, parseFrets('7-4-5-x'))).toStrictEqual([62, 66, 74, null]);
    expect(soundingNotes(mandolin, parseFrets('0-0-0-0-0'))).toStrictEqual([55, 62, 69, 76, null]);
  });

  it('follows the tuning', () => {
    expect(soundingNotes(instrument([48, 55, 62, 69], 420), parseFrets('7-5-2-3'))).toStrictEqual([
      55, 60, 64, 72,
    ]);
  });
});

describe('sameFingering', () => {
  const g = fingering('7-5-2-3', '4312');

  it.each([
    ['the same', '7-5-2-3', '4312', true],
    ['another fret', '7-5-2-4', '4312', false],
    ['another finger', '7-5-2-3', '4213', false],
    ['a course fewer', '7-5-2', '431', false],
    ['a course not played', '7-5-2-x', '431x', false],
  ])('%s', (_, frets, fingers, same) => {
    expect(sameFingering(g, fingering(frets, fingers))).toBe(same);
  });

  it('looks neither at the name nor at the remark', () => {
    expect(sameFingering(g, { ...g, shape: 'four-finger', remark: 'played as G' })).toBe(true);
  });
});
