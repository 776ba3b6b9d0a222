import teoria from 'teoria';
import { describe, expect, it } from 'vitest';
import { qualities, quality, qualityByMark, qualityBySuffix } from '../../src/theory/quality.js';

/** What `teoria` cannot build (69), and where it puts an eleventh under a thirteenth that players leave out. From memory. */
const unknownToTeoria: Readonly<Record<string, readonly number[]>> = {
  '69': [0, 4, 7, 9, 14],
  '13': [0, 4, 7, 10, 14, 21],
};

function teoriaSteps(suffix: string): number[] {
  const notes = teoria.chord(`C${suffix}`).notes();
  const root = notes[0]?.midi() ?? 0;
  return notes.map((note) => note.midi() - root);
}

describe('qualities', () => {
  it.each(qualities.filter((one) => !(one.id in unknownToTeoria)))(
    '$id has the notes of a second library',
    ({ suffix, steps }) => {
      expect(steps).toStrictEqual(teoriaSteps(suffix));
    },
  );

  it.each(Object.entries(unknownToTeoria))('%s has these notes', (id, steps) => {
    expect(quality(id).steps).toStrictEqual(steps);
  });

  it('has every id, mark and suffix once', () => {
    for (const of of ['id', 'mark', 'suffix'] as const) {
      expect(new Set(qualities.map((one) => one[of])).size).toBe(qualities.length);
    }
  });

  it('reads no alias as two qualities', () => {
    const spellings = qualities.flatMap(({ suffix, aliases }) => [suffix, ...aliases]);
    expect(new Set(spellings).size).toBe(spellings.length);
  });

  it('finds each by its id, mark, suffix and aliases', () => {
    for (const one of qualities) {
      expect(quality(one.id)).toBe(one);
      expect(qualityByMark(one.mark)).toBe(one);
      for (const suffix of [one.suffix, ...one.aliases]) expect(qualityBySuffix(suffix)).toBe(one);
    }
  });
});

describe('marks and suffixes', () => {
  // Common practice: a bare number is major, a dash minor, ° diminished, + augmented.
  it.each([
    ['', '', 'major'],
    ['-', 'm', 'minor'],
    ['o', '°', 'dim'],
    ['+', '+', 'aug'],
    ['^7', 'dom7', '7'],
    ['-^7', '-7', 'm7'],
    ['^maj7', 'Δ', 'maj7'],
    ['-^maj7', 'm(maj7)', 'mmaj7'],
    ['^sus', 'sus', 'sus4'],
    ['-^7b5', 'ø', 'm7b5'],
    ['o^7', '°7', 'dim7'],
    ['+^7', '7#5', 'aug7'],
    ['^69', '6/9', '69'],
  ])('mark %j and suffix %j are %s', (mark, suffix, id) => {
    expect(qualityByMark(mark)?.id).toBe(id);
    expect(qualityBySuffix(suffix)?.id).toBe(id);
  });

  it.each(['m', '7', '^', '--', 'x', ' '])('%j is not a mark', (mark) => {
    expect(qualityByMark(mark)).toBeNull();
  });

  it.each(['^7', 'x', 'H', 'constructor'])('%j is no suffix', (suffix) => {
    expect(qualityBySuffix(suffix)).toBeNull();
  });

  it('throws on an unknown id', () => {
    expect(() => quality('constructor')).toThrow(RangeError);
  });
});
