import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fretsText, soundingNotes } from '../../src/hand/fingering.js';
import { type Instrument, mandolin } from '../../src/hand/instrument.js';
import { highestStockFret, stockFingerings, stockShapes, tunedInFifths } from '../../src/hand/stock.js';
import { type Chord, chordTones } from '../../src/theory/chord.js';
import { qualities, quality } from '../../src/theory/quality.js';
import { chord } from '../theory/reading.js';
import { instrument } from './shapes.js';

// Open courses of the larger instruments in fifths (C3, G2 and C2 upward).
const mandola = instrument([48, 55, 62, 69], 420);
const octaveMandolin = instrument([43, 50, 57, 64], 530);
const mandocello = instrument([36, 43, 50, 57], 650);
const inFifths: readonly Instrument[] = [mandolin, mandola, octaveMandolin, mandocello];
const roots = 'C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B'.split(' ');

const shapes = (name: string, on: Instrument = mandolin): string[] =>
  stockFingerings(chord(name), on).map((one) => fretsText(one.frets));

describe('stockFingerings', () => {
  // Common practice: the closed major chords of the twelve keys.
  it.each([
    ['G', '7-5-2-3'],
    ['Ab', '8-6-3-4'],
    ['A', '9-7-4-5'],
    ['Bb', '10-8-5-6'],
    ['B', '11-9-6-7'],
    ['C', '5-2-3-x'],
    ['Db', '6-3-4-x'],
    ['D', '7-4-5-x'],
    ['Eb', '8-5-6-x'],
    ['E', '9-6-7-x'],
    ['F', '10-7-8-x'],
    ['F#', '11-8-9-x'],
  ])('has %s as %s', (name, frets) => {
    expect(shapes(name)).toContain(frets);
  });

  it('gives the four-finger and three-finger shapes their usual fingers', () => {
    const fingers = (name: string, frets: string): string[] =>
      stockFingerings(chord(name), mandolin)
        .filter((one) => fretsText(one.frets) === frets)
        .map((one) => one.fingers.map((finger) => finger ?? 'x').join(''));
    expect(fingers('G', '7-5-2-3')).toStrictEqual(['4312']);
    expect(fingers('D', '7-4-5-x')).toStrictEqual(['312x', '423x']);
  });

  it('sounds chord tones only, the root and the third among them, on every instrument in fifths', () => {
    const cases = fc.record({
      root: fc.constantFrom(...roots),
      quality: fc.constantFrom(...qualities.map((one) => one.id)),
      on: fc.constantFrom(...inFifths),
    });
    fc.assert(
      fc.property(cases, ({ root, quality: id, on }) => {
        const made: Chord = { root, quality: id, bass: null };
        const third = quality(id).steps.includes(4) ? 4 : 3;
        for (const one of stockFingerings(made, on)) {
          const sounding = soundingNotes(on, one.frets).filter((note) => note !== null);
          const classes = sounding.map((note) => note % 12);
          const tones = chordTones(made);
          expect(classes.filter((place) => !tones.includes(place))).toStrictEqual([]);
          expect(classes).toContain(tones[0]);
          expect(classes).toContain(((tones[0] as number) + third) % 12);
        }
      }),
      { numRuns: 400 },
    );
  });

  it.each(roots)('plays every stock quality on %s, closed, up to the highest fret', (root) => {
    for (const id of new Set(stockShapes.map((shape) => shape.quality))) {
      const found = stockFingerings({ root, quality: id, bass: null }, mandolin);
      expect(found.length).toBeGreaterThan(0);
      for (const { frets, fingers, remark } of found) {
        expect(frets.every((at) => at === null || (at >= 1 && at <= highestStockFret))).toBe(true);
        expect(fingers.map((finger) => finger === null)).toStrictEqual(frets.map((at) => at === null));
        expect(remark).toBe('');
      }
    }
  });

  it.each([
    ['Gmaj7', '7-5-2-3', 'played as G'],
    ['Am7', '9-7-3-5', 'played as Am'],
    ['D9', '7-4-3-x', 'played as D7'],
    ['Bb6', '10-8-5-6', 'played as Bb'],
  ])('plays %s by a plainer shape and says so', (name, frets, remark) => {
    const found = stockFingerings(chord(name), mandolin).find((one) => fretsText(one.frets) === frets);
    expect(found?.remark).toBe(remark);
  });

  it.each(['Gsus4', 'Gsus2', 'G7sus4', 'G5', 'Gdim', 'Gaug', 'Gm7b5', 'Gdim7', 'G7b5'])(
    'has none for %s, which has no third or no fifth',
    (name) => {
      expect(shapes(name)).toStrictEqual([]);
    },
  );

  it('follows the tuning: a fifth lower, the same hand is a fifth lower', () => {
    expect(shapes('C', mandola)).toContain('7-5-2-3');
    // An octave lower nothing changes.
    expect(shapes('D', octaveMandolin)).toStrictEqual(shapes('D'));
    expect(shapes('C', mandocello)).toStrictEqual(shapes('G'));
  });

  it('has none for another tuning or number of courses', () => {
    expect(shapes('G', instrument([67, 60, 64, 69], 350))).toStrictEqual([]);
    expect(shapes('G', instrument([48, 55, 62, 69, 76], 500))).toStrictEqual([]);
  });
});

describe('tunedInFifths', () => {
  it.each([
    ['mandolin', [55, 62, 69, 76], true],
    ['tenor banjo', [48, 55, 62, 69], true],
    ['ukulele', [67, 60, 64, 69], false],
    ['one in fourths at the end', [55, 62, 69, 74], false],
  ])('%s: %j', (_, open, fifths) => {
    expect(tunedInFifths(instrument(open as number[], 350))).toBe(fifths);
  });
});
