import { describe, expect, it } from 'vitest';
import { footLine } from '../../../src/ui/draw/foot.js';
import { helpLines } from '../../../src/ui/draw/help.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import { bindingsWith, usualBindings } from '../../../src/ui/keys/bindings.js';

describe('helpLines', () => {
  it.each([
    [60, 17],
    [80, 23],
    [140, 44],
    [240, 69],
  ])('at %dx%d has every key on one page or another, and cuts no line off', (columns, height) => {
    const pages = Array.from({ length: 14 }, (_, page) =>
      helpLines(usualBindings, columns, height, true, page),
    );
    for (const lines of pages) {
      expect(lines.length).toBeLessThanOrEqual(height);
      for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(columns);
    }
    const text = pages.flat().map(plainText).join('\n');
    for (const { help, action } of usualBindings)
      if (!action.startsWith('degree')) expect(text).toContain(help.slice(0, Math.min(help.length, 32)));
    expect(text).toContain('stays planted');
    for (const says of [
      'two frets toward the bridge',
      'other fingers take over, bass side first',
      'back (nut), up (bridge)',
    ])
      expect(text).toContain(says);
  });

  it('tells what the same keys do in several places once', () => {
    const lines = helpLines(usualBindings, 52, 500, true).map((line) => plainText(line).trimEnd());
    const heading = /^ [a-z]/;
    let group = '';
    const told = lines.map((line) => {
      if (heading.test(line)) group = line;
      return `${group}:${line}`;
    });
    expect(new Set(told).size).toBe(told.length);
    expect(lines.filter((line) => line.includes('to the shell; fg comes back'))).toHaveLength(1);
  });

  it('shows the user’s own keys', () => {
    const own = bindingsWith(new Map([['tap', ['ctrl+t']]]));
    expect(helpLines(own, 240, 69, true).map(plainText).join('\n')).toMatch(/Ctrl-T +tap the tempo/);
  });
});

describe('footLine', () => {
  it.each([60, 80, 100, 140, 240])('fits %d columns, and always says how to see all keys', (columns) => {
    const text = plainText(footLine(usualBindings, columns, true, 'stand'));
    expect([...text.trimEnd()].length).toBeLessThanOrEqual(columns);
    expect(text).toContain('? keys');
    expect(text).toContain('Space play');
  });
});
