import { describe, expect, it } from 'vitest';
import { plainText } from '../../../src/ui/draw/line.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import { standing } from '../model.js';

describe('the hand at the right of the chart', () => {
  it.each([
    [100, 36],
    [140, 45],
  ])('says of its large figures that they are what comes, at %i by %i', (columns, rows) => {
    const lines = standLines(standing('weir-hands', columns, rows)).map((line) => plainText(line));
    const family = lines.findIndex((line) => /four-finger|three-finger/.test(line));
    const large = lines.findIndex((line, at) => at > family && /[█▀▄]{2}/.test(line));
    expect(family).toBeGreaterThan(0);
    expect(large).toBeGreaterThan(family);
    expect(lines[large - 1]?.trimEnd()).toMatch(/ next$/);
  });
});
