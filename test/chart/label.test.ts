import { describe, expect, it } from 'vitest';
import { chordLabel, numberLabel, shortTempo, tempoLabel, withMarks } from '../../src/chart/label.js';
import { qualities } from '../../src/theory/quality.js';
import { chord, number } from '../theory/reading.js';

describe('numberLabel', () => {
  it.each([
    ['1', '1', '1'],
    ['6-', '6-', '6-'],
    ['b7', '♭7', 'b7'],
    ['#4o', '♯4°', '#4o'],
    ['5^7', '5⁷', '5^7'],
    ['2-^7', '2-⁷', '2-^7'],
    ['7o^7', '7°⁷', '7o^7'],
    ['5^13', '5¹³', '5^13'],
    ['1^69', '1⁶⁹', '1^69'],
    ['1^maj7', '1maj7', '1^maj7'],
    ['4^sus4', '4sus4', '4^sus4'],
    ['1/3', '1/3', '1/3'],
    ['1^7/b7', '1⁷/♭7', '1^7/b7'],
  ])('%s is %s, in ASCII %s', (text, unicode, ascii) => {
    expect(numberLabel(number(text), true)).toBe(unicode);
    expect(numberLabel(number(text), false)).toBe(ascii);
  });

  it('is plain ASCII without Unicode, whatever the quality', () => {
    for (const { mark } of qualities) {
      expect(numberLabel(number(`b3${mark}/#4`), false)).toBe(`b3${mark}/#4`);
    }
  });

  // “17” is what the reader refuses because it can be read two ways; the screen must not show it.
  it.each(qualities.map((one) => one.mark))('never sets a figure next to the degree: 1%s', (mark) => {
    expect(numberLabel(number(`1${mark}`), true)).not.toMatch(/^1\d/);
  });
});

describe('chordLabel', () => {
  it.each([
    ['Bbm7', 'B♭m7', 'Bbm7'],
    ['F#', 'F♯', 'F#'],
    ['D/F#', 'D/F♯', 'D/F#'],
    ['C#m7b5', 'C♯m7♭5', 'C#m7b5'],
  ])('%s is %s, in ASCII %s', (text, unicode, ascii) => {
    expect(chordLabel(chord(text), true)).toBe(unicode);
    expect(chordLabel(chord(text), false)).toBe(ascii);
  });
});

describe('withMarks', () => {
  it.each([
    [false, 'plain', '4'],
    [true, 'plain', "'4"],
    [false, 'ring', '4~'],
    [false, 'stop', '4!'],
    [true, 'stop', "'4!"],
  ] as const)('early %s, ending %s: %s', (early, ending, label) => {
    expect(withMarks('4', { early, ending })).toBe(label);
  });
});

describe('a tempo for people', () => {
  it.each([
    ['quarter', '200 quarters a minute', '200 ♩', '200 quarters'],
    ['half', '200 halves a minute', '200 halves', '200 halves'],
    ['dotted', '200 dotted quarters a minute', '200 ♩.', '200 dotted'],
  ] as const)('%s: %s', (count, sentence, unicode, ascii) => {
    expect(tempoLabel({ bpm: 200, count })).toBe(sentence);
    expect(shortTempo({ bpm: 200, count }, true)).toBe(unicode);
    expect(shortTempo({ bpm: 200, count }, false)).toBe(ascii);
  });
});
