import { describe, expect, it } from 'vitest';
import { autoCapo, capoAt, highestCapo, usualKeys } from '../../src/theory/capo.js';
import { fifthStringText } from '../../src/theory/fifth-string.js';
import { keyName, parseKey } from '../../src/theory/key.js';
import { pitchClass } from '../../src/theory/pitch.js';

function key(text: string) {
  const read = parseKey(text);
  if (!read.ok) throw new Error(text);
  return read.value;
}

// Read as a guitarist and a banjo player: the lowest fret that gives G, C or D, in minor Em or Am; the fifth string g, a, b♭ …
// where the shapes or the key want it, at fret 10 at most (common practice).
const everyKey: [sounding: string, fret: number, shapes: string, fifthString: string][] = [
  ['C', 0, 'C', 'fifth string open'],
  ['Db', 1, 'C', 'fifth string at 6'],
  ['D', 0, 'D', 'fifth string at 7'],
  ['Eb', 1, 'D', 'fifth string at 8'],
  ['E', 2, 'D', 'fifth string at 9'],
  ['F', 3, 'D', 'fifth string at 10'],
  ['F#', 4, 'D', 'fifth string tuned down to f#'],
  ['G', 0, 'G', 'fifth string open'],
  ['Ab', 1, 'G', 'fifth string at 6'],
  ['A', 2, 'G', 'fifth string at 7'],
  ['Bb', 3, 'G', 'fifth string at 8'],
  ['B', 4, 'G', 'fifth string at 9'],
  ['Cm', 3, 'Am', 'fifth string at 10'],
  ['C#m', 4, 'Am', 'fifth string at 6'],
  ['Dm', 5, 'Am', 'fifth string at 7'],
  ['Ebm', 6, 'Am', 'fifth string at 8'],
  ['Em', 0, 'Em', 'fifth string open'],
  ['Fm', 1, 'Em', 'fifth string at 6'],
  ['F#m', 2, 'Em', 'fifth string at 7'],
  ['Gm', 3, 'Em', 'fifth string at 8'],
  ['G#m', 4, 'Em', 'fifth string at 9'],
  ['Am', 0, 'Am', 'fifth string at 7'],
  ['Bbm', 1, 'Am', 'fifth string at 8'],
  ['Bm', 2, 'Am', 'fifth string at 9'],
];

describe('autoCapo', () => {
  it.each(everyKey)('%s: capo %i, shapes of %s, %s', (sounding, fret, shapes, fifth) => {
    const capo = autoCapo(key(sounding));
    expect([capo.fret, keyName(capo.shapes), fifthStringText(capo.fifthString)]).toEqual([
      fret,
      shapes,
      fifth,
    ]);
  });

  it('knows every key', () => {
    const names = (['major', 'minor'] as const).flatMap((mode) => usualKeys(mode).map(keyName));
    expect(everyKey.map(([name]) => name)).toEqual(names);
  });
});

describe('the fifth string', () => {
  it('is stopped at fret 10 at most, and sounds a note of the key’s chord, with any capo in every key', () => {
    for (const mode of ['major', 'minor'] as const)
      for (const sounding of usualKeys(mode))
        for (let fret = 0; fret <= highestCapo; fret += 1) {
          const { fifthString } = capoAt(sounding, fret);
          expect(fifthString.fret ?? 6).toBeGreaterThanOrEqual(6);
          expect(fifthString.fret ?? 6).toBeLessThanOrEqual(10);
          const sounds =
            fifthString.tuned === null
              ? pitchClass('G') + (fifthString.fret === null ? 0 : fifthString.fret - 5)
              : pitchClass(fifthString.tuned);
          const chord = [0, mode === 'minor' ? 3 : 4, 7].map(
            (step) => (pitchClass(sounding.tonic) + step) % 12,
          );
          expect(chord).toContain(sounds % 12);
        }
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
