import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { candidatesFor } from '../../src/hand/candidates.js';
import { fretsText, parseFrets, soundingNotes } from '../../src/hand/fingering.js';
import { fingeringsOf } from '../../src/hand/fingerings.js';
import { type Instrument, instruments, mandolin, tunedInFifths } from '../../src/hand/instrument.js';
import { usualPlan } from '../../src/hand/plan.js';
import { usualHand } from '../../src/hand/player-hand.js';
import { highestStockFret, stockFingerings, stockShapes } from '../../src/hand/stock.js';
import { tonesOf } from '../../src/hand/tones.js';
import { type Chord, chordTones } from '../../src/theory/chord.js';
import { qualities } from '../../src/theory/quality.js';
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

  it('sounds chord tones only, every essential one among them, on every instrument in fifths', () => {
    const cases = fc.record({
      root: fc.constantFrom(...roots),
      quality: fc.constantFrom(...qualities.map((one) => one.id)),
      on: fc.constantFrom(...inFifths),
    });
    fc.assert(
      fc.property(cases, ({ root, quality: id, on }) => {
        const made: Chord = { root, quality: id, bass: null };
        for (const one of stockFingerings(made, on)) {
          const sounding = soundingNotes(on, one.frets).filter((note) => note !== null);
          const classes = sounding.map((note) => note % 12);
          const tones = chordTones(made);
          expect(classes.filter((place) => !tones.includes(place))).toStrictEqual([]);
          for (const step of tonesOf(id).essential)
            expect(classes).toContain(((tones[0] as number) + step) % 12);
        }
      }),
      { numRuns: 400 },
    );
  });

  it.each(roots)('plays every stock quality on %s, closed, up to the highest fret', (root) => {
    for (const id of new Set(stockShapes.map((shape) => shape.quality))) {
      const found = stockFingerings({ root, quality: id, bass: null }, mandolin);
      expect(found.length).toBeGreaterThan(0);
      for (const { frets, fingers } of found) {
        expect(frets.every((at) => at === null || (at >= 1 && at <= highestStockFret))).toBe(true);
        expect(fingers.map((finger) => finger === null)).toStrictEqual(frets.map((at) => at === null));
      }
    }
  });

  it('has a shape for every quality that the chart language knows, and says where it is from', () => {
    for (const { id } of qualities)
      expect(stockShapes.filter((shape) => shape.quality === id).length).toBeGreaterThan(0);
    // Common practice stands for majors and minors; the other plain ones are from memory; the rest are computed.
    const from = (source: string) =>
      new Set(stockShapes.filter((shape) => shape.source === source).map((shape) => shape.quality));
    expect(from('practice')).toEqual(new Set(['major', 'minor']));
    expect(from('memory')).toEqual(new Set(['minor', '7', 'm7']));
  });

  it('can all be held by the usual hand on a mandolin, with the fingers that stand beside them', () => {
    for (const shape of stockShapes) {
      const held = fingeringsOf(parseFrets(shape.frets), mandolin, usualHand).map((one) =>
        one.fingers.map((finger) => finger ?? 'x').join(''),
      );
      for (const fingers of shape.fingers) expect(held).toContain(fingers);
    }
  });

  it('drops on a long neck what a hand does not reach there', () => {
    for (const id of ['octave-mandolin', 'mandocello']) {
      const long = instruments.find((one) => one.id === id) as Instrument;
      expect(
        candidatesFor(chord('G'), long, usualPlan).map((one) => fretsText(one.fingering.frets)),
      ).not.toContain('7-5-2-3');
      expect(candidatesFor(chord('G'), long, usualPlan).length).toBeGreaterThan(0);
    }
  });

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
