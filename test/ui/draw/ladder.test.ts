import { describe, expect, it } from 'vitest';
import { beginLadder, climb, usualLadder } from '../../../src/shed/ladder.js';
import { ladderLines } from '../../../src/ui/draw/ladder.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';

describe('the question after a pass of a ladder', () => {
  const ladder = climb(beginLadder({ ...usualLadder, target: 200 }), 'clean');
  const lines = (width: number, height: number) => ladderLines(ladder, 2, { width, height, unicode: true });

  it('says what its figures are', () => {
    const text = lines(40, 6).map(plainText);
    expect(text.slice(0, 3)).toEqual([
      'clean?  2 s to answer',
      '→ or Space: clean   ← or m: missed',
      'tempo 120, target 200, best 120',
    ]);
  });

  it.each([
    [40, 24],
    [50, 39],
  ])('is large where there is room, %d by %d, and the curve stays', (width, height) => {
    const shown = lines(width, height);
    expect(plainText(shown[0] ?? [])).toMatch(/[█▀▄]/);
    expect(shown.map(plainText).join('\n')).toContain('●');
    expect(shown.length).toBeLessThanOrEqual(height);
    for (const line of shown) expect(lineWidth(line)).toBeLessThanOrEqual(width);
  });
});
