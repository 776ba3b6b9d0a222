import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chordLabel, numberLabel, withMarks } from '../../../src/chart/label.js';
import { toChord } from '../../../src/theory/chord.js';
import { type Key, majorTonics } from '../../../src/theory/key.js';
import type { Degree } from '../../../src/theory/number.js';
import { qualities } from '../../../src/theory/quality.js';
import { bigHeight, bigText, bigWidth, fitScale } from '../../../src/ui/draw/big-text.js';
import { glyphs, missingGlyph } from '../../../src/ui/draw/glyphs.js';

const degrees: readonly Degree[] = [1, 2, 3, 4, 5, 6, 7].flatMap((degree) =>
  ([-1, 0, 1] as const).map((alter) => ({ degree, alter })),
);
const keys: readonly Key[] = majorTonics.map((tonic) => ({ tonic, mode: 'major' }));

/** Every sign a label can hold: all qualities on all degrees in all keys, over all basses, with all marks. */
function labelSigns(): Set<string> {
  const signs = new Set<string>();
  const add = (label: string): void => {
    for (const sign of label) signs.add(sign);
  };
  for (const unicode of [true, false]) {
    for (const { id } of qualities)
      for (const degree of degrees)
        for (const bass of [null, ...degrees]) {
          const number = { ...degree, quality: id, bass };
          add(numberLabel(number, unicode));
          if (bass === null || id === 'major')
            for (const key of keys) add(chordLabel(toChord(number, key), unicode));
        }
    for (const ending of ['plain', 'ring', 'stop'] as const) add(withMarks('1', { early: true, ending }));
  }
  return signs;
}

/** Pixels in which two letters differ when one is laid upon the other, in whatever place they differ least. */
function difference(one: string, other: string): number {
  const [left, right] = [pixels(one), pixels(other)];
  const shifts = [-2, -1, 0, 1, 2];
  return Math.min(
    ...shifts.map((shift) => {
      const moved = new Set(right.map(([row, column]) => `${row} ${column + shift}`));
      const kept = left.filter(([row, column]) => moved.has(`${row} ${column}`)).length;
      return left.length + right.length - 2 * kept;
    }),
  );
}

function pixels(sign: string): [row: number, column: number][] {
  return (glyphs[sign] as readonly string[]).flatMap((line, row) =>
    [...line].flatMap((pixel, column) => (pixel === '#' ? [[row, column] as [number, number]] : [])),
  );
}

describe('the block letters', () => {
  it('draw flat and sharp, minor and figures by half blocks', () => {
    expect(bigText('♯4-', { scale: 1, unicode: true })).toEqual([
      ' █ █▄   ▄██     ',
      '▀█▀█  ▄▀ ██ ▄▄▄▄',
      '▄█▀█▀ ▀▀▀██     ',
      ' ▀ ▀     ▀▀     ',
    ]);
    expect(bigText('B♭m', { scale: 1, unicode: true })).toEqual([
      '██▀█▄ █         ',
      '██▄█▀ █▄▀▄ ████▄',
      '██ ██ █ ▄▀ █ █ █',
      '▀▀▀▀  ▀▀   ▀ ▀ ▀',
    ]);
  });

  it('draw a pixel as two columns and one line without Unicode', () => {
    expect(bigText('7', { scale: 2, unicode: false })).toEqual([
      '##########',
      '      ####',
      '      ####',
      '    ####  ',
      '  ######  ',
      '  ####    ',
      '  ####    ',
    ]);
  });

  it('raise a figure over a five', () => {
    expect(bigText('5⁷', { scale: 1, unicode: true })).toEqual([
      '██▀▀▀ ▀▀█',
      '▀▀▀█▄  █ ',
      '▄▄ ██    ',
      ' ▀▀▀     ',
    ]);
    for (const figure of '⁰¹²³⁴⁵⁶⁷⁸⁹') {
      const rows = glyphs[figure] as readonly string[];
      expect(rows.slice(0, 4).every((row) => row.includes('#'))).toBe(true);
      expect(rows.slice(4).join('')).not.toContain('#');
    }
  });

  it('draw a hollow box for what has no letter', () => {
    expect(bigText('x', { scale: 1, unicode: true })).toEqual(['█▀▀█', '█  █', '█  █', '▀▀▀▀']);
    expect(bigText('漢😀', { scale: 1, unicode: true })).toEqual(bigText('xx', { scale: 1, unicode: true }));
  });

  it('know every sign of every label, none of them as the box', () => {
    const signs = [...labelSigns()];
    expect(signs).toEqual(expect.arrayContaining([...'1234567ABCDEFGmajsudib♭♯°⁷⁹^+-/~!#', "'"]));
    expect(signs.filter((sign) => glyphs[sign] === undefined)).toEqual([]);
    expect(Object.values(glyphs)).not.toContainEqual(missingGlyph);
  });

  it('know every sign of counts and marks too', () => {
    expect(
      [..."0123456789-+°/~!'(). ♭♯ABCDEFGmajsudinco"].filter((sign) => glyphs[sign] === undefined),
    ).toEqual([]);
  });

  it.each([
    ['1', '7'],
    ['B', 'D'],
    ['E', 'F'],
    ['8', 'B'],
    ['0', 'D'],
    ['0', '8'],
    ['6', '8'],
    ['6', 'B'],
    ['6', 'b'],
    ['8', 'b'],
    ['B', 'b'],
    ['3', '8'],
    ['5', '6'],
    ['5', 's'],
    ['8', '9'],
    ['♭', '♯'],
    ['♭', '6'],
    ['b', '6'],
  ])('tell %s and %s apart by several pixels, however they are shifted', (one, other) => {
    expect(difference(one, other)).toBeGreaterThanOrEqual(4);
  });
});

describe('bigText', () => {
  const text = fc.string({ unit: fc.constantFrom(...Object.keys(glyphs), 'x'), maxLength: 8 });
  const scale = fc.integer({ min: 1, max: 8 });

  it('draws a larger letter as the smaller one, each pixel a block', () => {
    fc.assert(
      fc.property(text, scale, (label, times) => {
        const small = bigText(label, { scale: 1, unicode: false });
        const large = bigText(label, { scale: times, unicode: false });
        const tall = large.length / small.length;
        expect(large).toEqual(
          small.flatMap((line) =>
            Array.from({ length: tall }, () => line.replace(/./g, (pixel) => pixel.repeat(times))),
          ),
        );
      }),
    );
  });

  it('shows the same pixels with Unicode and without', () => {
    fc.assert(
      fc.property(text, (label) => {
        const halves = bigText(label, { scale: 1, unicode: true }).flatMap((line) => [
          line.replace(/[▀█]/g, '#').replace(/▄/g, ' '),
          line.replace(/[▄█]/g, '#').replace(/▀/g, ' '),
        ]);
        expect(halves.slice(0, 7)).toEqual(bigText(label, { scale: 1, unicode: false }));
        expect(halves[7]?.trim()).toBe('');
      }),
    );
  });

  it('measures what it draws, and nothing too', () => {
    for (const unicode of [true, false]) {
      expect(bigWidth('', { scale: 3, unicode })).toBe(0);
      expect(bigText('', { scale: 3, unicode }).join('')).toBe('');
      expect(bigText('', { scale: 3, unicode })).toHaveLength(bigHeight({ scale: 3, unicode }));
    }
  });
});

describe('fitScale', () => {
  it.each([
    [10, 4, true, 1],
    [9, 4, true, 0],
    [10, 3, true, 0],
    [20, 7, true, 2],
    [20, 6, true, 1],
    [10, 7, false, 1],
    [10, 6, false, 0],
    [20, 7, false, 2],
    [30, 13, false, 2],
    [30, 14, false, 3],
    [0, 0, true, 0],
  ])('of ♭7 in %i columns and %i lines (unicode %s) is %i', (columns, lines, unicode, expected) => {
    expect(fitScale('♭7', columns, lines, unicode)).toBe(expected);
  });
});
