import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { indentedLines, textOverColumns } from '../../src/base/text-columns.js';
import { textWidth } from '../../src/base/text-width.js';
import { wrapText } from '../../src/base/wrap-text.js';

const anything = fc.string({
  unit: fc.constantFrom(...'ab  c', '水', 'e\u0301', '👩‍🚀', '𝄞', 'É'),
  maxLength: 60,
});

describe('wrapText', () => {
  it.each<[string, number, readonly string[]]>([
    ['the river took the mill', 10, ['the river', 'took the', 'mill']],
    ['the river took the mill', 9, ['the river', 'took the', 'mill']],
    ['riverbank', 4, ['rive', 'rban', 'k']],
    ['水車小屋', 5, ['水車', '小屋']],
    ['a cafe\u0301', 4, ['a', 'cafe\u0301']],
    ['', 5, []],
    ['  a  ', 5, ['a']],
  ])('of %j on %i columns', (text, width, lines) => {
    expect(wrapText(text, width)).toEqual(lines);
  });

  it('leaves nothing out but spaces, and is no wider than it may be', () => {
    fc.assert(
      fc.property(anything, fc.integer({ min: 2, max: 30 }), (text, width) => {
        for (const lines of [wrapText(text, width), indentedLines(text, width)]) {
          expect(lines.join('').replace(/\s/g, '')).toBe(text.replace(/\s/g, ''));
          for (const line of lines) expect(textWidth(line)).toBeLessThanOrEqual(width);
        }
      }),
    );
  });
});

describe('textOverColumns', () => {
  it('sets texts side by side, each in the room it has, all ending with one line', () => {
    expect(
      textOverColumns([['the river took the mill'], [], ['stop', 'wait'], []], {
        left: 2,
        each: 8,
        right: 30,
      }),
    ).toEqual(['  the river took  stop', '    the mill      wait']);
    expect(textOverColumns([[], []], { left: 2, each: 8, right: 30 })).toEqual([]);
  });
});
