import { describe, expect, it } from 'vitest';
import { parseFrets } from '../../../src/hand/fingering.js';
import { mandolin } from '../../../src/hand/instrument.js';
import { shapeSheet } from '../../../src/ui/draw/shape-sheet.js';

const shape = (label: string, frets: string, fingers: readonly (1 | 2 | 3 | 4 | null)[]) => ({
  label,
  fingering: { frets: parseFrets(frets), fingers, shape: null, remark: '' },
});

describe('shapeSheet', () => {
  it('draws shapes beside each other, as wide as each needs', () => {
    const sheet = shapeSheet(
      [shape('D', '7-4-5-x', [3, 1, 2, null]), shape('F', '5-3-0-1', [4, 3, null, 1])],
      mandolin,
      { unicode: false },
    );
    expect(sheet).toEqual([
      'D                 F',
      'E |..|..|..|..|   E #-I|--|--|--|--|',
      'A |--|-M|--|--|   A o--|--|--|--|--|',
      'D |-I|--|--|--|   D #--|--|-R|--|--|',
      'G |--|--|--|-R|   G #--|--|--|--|-L|',
      '    4  5  6  7        1  2  3  4  5',
    ]);
  });

  it('breaks into rows that fit the width', () => {
    const many = Array.from({ length: 5 }, (_, index) => shape(String(index), '7-4-5-x', [3, 1, 2, null]));
    const sheet = shapeSheet(many, mandolin, { width: 40 });
    expect(sheet.every((line) => line.length <= 40)).toBe(true);
    expect(sheet.filter((line) => line === '')).toHaveLength(2);
  });

  it('is empty for no shapes', () => {
    expect(shapeSheet([], mandolin)).toEqual([]);
  });
});
