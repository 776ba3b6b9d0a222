import { describe, expect, it } from 'vitest';
import { autoCapo, capoAt, usualKeys } from '../../src/theory/capo.js';
import { keyName, parseKey } from '../../src/theory/key.js';
import { pitchClass } from '../../src/theory/pitch.js';

function key(text: string) {
  const read = parseKey(text);
  if (!read.ok) throw new Error(text);
  return read.value;
}

// Common practice: the capo tables that guitar and banjo players carry. Shapes at the lowest fret that gives G, C or D.
const majors: [sounding: string, fret: number, shapes: string, fifthString: number | null][] = [
  ['G', 0, 'G', null],
  ['Ab', 1, 'G', 6],
  ['A', 2, 'G', 7],
  ['Bb', 3, 'G', 8],
  ['B', 4, 'G', 9],
  ['C', 0, 'C', null],
  ['Db', 1, 'C', 6],
  ['D', 0, 'D', 7],
  ['Eb', 1, 'D', 8],
  ['E', 2, 'D', 9],
  ['F', 3, 'D', 10],
  ['F#', 4, 'D', 11],
];

describe('autoCapo', () => {
  it.each(majors)('%s: capo %i, shapes of %s', (sounding, fret, shapes, fifthString) => {
    const capo = autoCapo(key(sounding));
    expect([capo.fret, keyName(capo.shapes), capo.fifthString]).toEqual([fret, shapes, fifthString]);
  });

  it.each([
    ['Am', 0, 'Am'],
    ['Bm', 0, 'Bm'],
    ['Cm', 1, 'Bm'],
    ['F#m', 2, 'Em'],
    ['Gm', 3, 'Em'],
  ])('%s: capo %i, shapes of %s', (sounding, fret, shapes) => {
    const capo = autoCapo(key(sounding));
    expect([capo.fret, keyName(capo.shapes)]).toEqual([fret, shapes]);
  });
});

describe('capoAt', () => {
  // Common practice: other positions of the same tables.
  it.each([
    ['A', 4, 'F'],
    ['Bb', 1, 'A'],
    ['B', 2, 'A'],
    ['C', 5, 'G'],
    ['E', 4, 'C'],
    ['F', 5, 'C'],
    ['D', 7, 'G'],
  ])('%s with a capo at %i is played in %s', (sounding, fret, shapes) => {
    expect(keyName(capoAt(key(sounding), fret).shapes)).toBe(shapes);
  });

  it('sounds the key again when the capo is added to the shapes, at every fret in every key', () => {
    for (const mode of ['major', 'minor'] as const) {
      for (const sounding of usualKeys(mode)) {
        for (let fret = 0; fret <= 9; fret += 1) {
          expect((pitchClass(capoAt(sounding, fret).shapes.tonic) + fret) % 12).toBe(
            pitchClass(sounding.tonic),
          );
        }
      }
    }
  });
});
