import { describe, expect, it } from 'vitest';
import { fingerPlace, fret, fretPlace, instruments, mandolin } from '../../src/hand/instrument.js';
import { instrument } from './shapes.js';

describe('fret', () => {
  it.each([0, 1, 20])('%i is a fret', (value) => {
    expect(fret(value)).toBe(value);
  });

  it.each([-1, 1.5, Number.NaN, Number.POSITIVE_INFINITY])('%d is none', (value) => {
    expect(() => fret(value)).toThrow(`${value} is not a fret`);
  });
});

describe('mandolin', () => {
  // Tuned in fifths from G3; scale 13 7/8 in, in millimetres of 25.4 to the inch.
  it('is tuned G D A E and 13 7/8 in long', () => {
    expect(mandolin.courses.map((course) => course.open)).toStrictEqual([55, 62, 69, 76]);
    expect(mandolin.courses.map((course) => course.strings)).toStrictEqual([2, 2, 2, 2]);
    expect(mandolin.scale).toBeCloseTo(13.875 * 25.4, 9);
    expect(instruments).toContain(mandolin);
  });

  // Ask a Luthier (sources in DEVELOPERS.md), nut of an F-style mandolin: 1 1/8 in wide, outer strings 1/16 in from the edges;
  // three gaps between the middles of four courses. Rounded to whole millimetres by the model.
  it('has its courses about a third of the string width apart', () => {
    expect(Math.abs(mandolin.spacing - ((1.125 - 2 / 16) * 25.4 - 2) / 3)).toBeLessThan(1);
  });
});

describe('fretPlace', () => {
  // A published fret table for a scale of 635.000 mm, millimetres from fret to bridge
  // (“Guitar bits 'n' bobs”: sources in DEVELOPERS.md).
  it.each([
    [1, 599.36],
    [2, 565.721],
    [3, 533.969],
    [4, 504.0],
    [5, 475.712],
    [6, 449.013],
    [7, 423.812],
    [8, 400.025],
    [9, 377.573],
    [10, 356.382],
  ])('puts fret %i of a 635 mm scale %f mm from the bridge', (at, toBridge) => {
    const guitar = instrument([40, 45, 50, 55, 59, 64], 635);
    expect(Math.abs(635 - fretPlace(guitar, fret(at)) - toBridge)).toBeLessThanOrEqual(0.001);
  });

  // Mandolin of 352.425 mm, millimetres from nut to fret, by L · (1 − 2^(−n/12)).
  it.each([
    [1, 19.78],
    [2, 38.45],
    [3, 56.072],
    [4, 72.705],
    [5, 88.405],
    [6, 103.223],
    [7, 117.21],
    [8, 130.411],
    [9, 142.872],
    [10, 154.633],
    [11, 165.734],
    [12, 176.212],
  ])('puts fret %i of the mandolin %f mm from the nut', (at, fromNut) => {
    expect(Math.abs(fretPlace(mandolin, fret(at)) - fromNut)).toBeLessThanOrEqual(0.001);
  });

  it('has the nut at 0 and the twelfth fret at half the scale', () => {
    expect(fretPlace(mandolin, fret(0))).toBe(0);
    expect(fretPlace(mandolin, fret(12))).toBeCloseTo(mandolin.scale / 2, 9);
  });

  // The divisor builders use for one fret: 17.817154, from the same formula.
  it('divides the scale by 17.817154 for the first fret', () => {
    expect(mandolin.scale / fretPlace(mandolin, fret(1))).toBeCloseTo(17.817154, 6);
  });

  // The G chop spans 78.8 mm from the wire of fret 2 to that of fret 7.
  it('spans 78.8 mm under the G chop', () => {
    expect(fretPlace(mandolin, fret(7)) - fretPlace(mandolin, fret(2))).toBeCloseTo(78.8, 1);
  });
});

describe('fingerPlace', () => {
  const places = Array.from({ length: mandolin.frets }, (_, index) => index + 1);

  it.each(places)('stands between the wires before and behind fret %i', (at) => {
    const place = fingerPlace(mandolin, fret(at));
    expect(place).toBeGreaterThan(fretPlace(mandolin, fret(at - 1)));
    expect(place).toBeLessThan(fretPlace(mandolin, fret(at)));
  });

  it('stands 4 mm behind the wire, and in the middle of a fret shorter than 8 mm', () => {
    const behind = (at: number): number => fretPlace(mandolin, fret(at)) - fingerPlace(mandolin, fret(at));
    expect(behind(7)).toBeCloseTo(4, 9);
    const short = fretPlace(mandolin, fret(20)) - fretPlace(mandolin, fret(19));
    expect(short).toBeLessThan(8);
    expect(behind(20)).toBeCloseTo(short / 2, 9);
  });
});
