import { describe, expect, it } from 'vitest';
import {
  keyName,
  keySignature,
  majorTonics,
  minorTonics,
  parseKey,
  sameKey,
  transposeKey,
  withSigns,
} from '../../src/theory/key.js';
import { pitchClass } from '../../src/theory/pitch.js';
import { key } from './reading.js';

describe('parseKey', () => {
  it.each([
    ['A', 'A'],
    ['a', 'A'],
    ['Bb', 'Bb'],
    ['bb', 'Bb'],
    ['B♭', 'Bb'],
    ['b', 'B'],
    ['F#m', 'F#m'],
    ['f♯ minor', 'F#m'],
    ['C minor', 'Cm'],
    ['Cmin', 'Cm'],
    ['A-', 'Am'],
    ['Eb major', 'Eb'],
    ['Gmaj', 'G'],
    [' D ', 'D'],
  ])('%j is %s', (text, name) => {
    expect(keyName(key(text))).toBe(name);
  });

  it.each(['H', '', 'Am7', 'Bbb', 'A--', 'A B', '1', 'ABm', 'A\u001b'])('%j is not a key', (text) => {
    const outcome = parseKey(text);
    expect(outcome.ok ? 'a key' : outcome.fault.message).toMatch(
      / is not a key; a key is a letter from A to G/,
    );
  });

  it.each([
    ['E#', 'F'],
    ['B#', 'C'],
    ['Cb', 'B'],
    ['C♭', 'B'],
    ['Fb', 'E'],
    ['Cbm', 'Bm'],
    ['E# minor', 'Fm'],
  ])('%s is refused for %s', (text, usual) => {
    const outcome = parseKey(text);
    expect(outcome.ok ? 'a key' : outcome.fault.message).toBe(
      `“${text}” is not a usual name for a key; write ${usual}`,
    );
  });
});

describe('keySignature', () => {
  // The circle of fifths: one sharp more for each fifth up, a minor key three fewer than its major.
  // The last of each row need double accidentals; no player writes them, the count goes on all the same.
  it.each([
    ['C G D A E B F# C# G# D# A#', [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]],
    ['C F Bb Eb Ab Db Gb', [0, -1, -2, -3, -4, -5, -6]],
    ['Am Em Bm F#m C#m G#m D#m A#m', [0, 1, 2, 3, 4, 5, 6, 7]],
    ['Am Dm Gm Cm Fm Bbm Ebm Abm Dbm Gbm', [0, -1, -2, -3, -4, -5, -6, -7, -8, -9]],
  ])('%s', (names, signs) => {
    expect(names.split(' ').map((name) => keySignature(key(name)))).toStrictEqual(signs);
  });
});

describe('transposeKey', () => {
  it.each([
    ['A', 2, 'B'],
    ['A', 1, 'Bb'],
    ['G', -1, 'F#'],
    ['C', -1, 'B'],
    ['B', 1, 'C'],
    ['Gb', 0, 'Gb'],
    ['Gb', 12, 'F#'],
    ['Am', 1, 'Bbm'],
    ['Cm', 1, 'C#m'],
    ['F#m', -11, 'Gm'],
  ])('%s by %i is %s', (from, halfSteps, to) => {
    expect(keyName(transposeKey(key(from), halfSteps))).toBe(to);
  });

  it('comes back the way it went, for every key and distance', () => {
    for (const tonic of majorTonics) {
      for (let halfSteps = -11; halfSteps <= 11; halfSteps += 1) {
        const there = transposeKey(key(tonic), halfSteps);
        expect(keyName(transposeKey(there, -halfSteps))).toBe(tonic);
        expect((pitchClass(there.tonic) - pitchClass(tonic) + 24) % 12).toBe((halfSteps + 24) % 12);
      }
    }
  });

  it('has the usual names in the order of the half steps', () => {
    for (const tonics of [majorTonics, minorTonics]) {
      expect(tonics.map(pitchClass)).toStrictEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
    }
  });
});

describe('sameKey', () => {
  it.each([
    ['F#', 'Gb', true],
    ['A', 'A', true],
    ['A', 'Am', false],
    ['A', 'Bb', false],
  ])('%s and %s: %s', (one, other, same) => {
    expect(sameKey(key(one), key(other))).toBe(same);
  });
});

describe('withSigns', () => {
  it.each([
    ['Bb', 'B♭'],
    ['F#m', 'F♯m'],
    ['b7', '♭7'],
    ['#4', '♯4'],
    ['Bbm7b5/Db', 'B♭m7♭5/D♭'],
    ['C7#9', 'C7♯9'],
    ['C7b9', 'C7♭9'],
    ['A', 'A'],
  ])('%s is %s', (name, signs) => {
    expect(withSigns(name)).toBe(signs);
  });
});

describe('the key signature as MIDI writes it', () => {
  // Source: the Standard MIDI File key signature meta event (MMA RP-001): sharps positive, flats negative as one signed byte, then 0 major, 1 minor.
  it.each([
    ['C', 0x00, 0],
    ['Am', 0x00, 1],
    ['Eb', 0xfd, 0],
  ])('%s', (text, signs, minor) => {
    const read = parseKey(text);
    if (!read.ok) throw new Error(text);
    expect([keySignature(read.value) & 0xff, read.value.mode === 'minor' ? 1 : 0]).toEqual([signs, minor]);
  });
});
