import { describe, expect, it } from 'vitest';
import { footLine } from '../../../src/ui/draw/foot.js';
import { helpPages, helpScreen } from '../../../src/ui/draw/help.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import { bindingsWith, type KeyPlace, places, usualBindings } from '../../../src/ui/keys/bindings.js';
import { keyLabel } from '../../../src/ui/keys/names.js';

describe('helpLines', () => {
  it.each([
    [60, 17],
    [80, 23],
    [140, 44],
    [240, 69],
  ])('at %dx%d has every key on one page or another, and cuts no line off', (columns, height) => {
    const pages = helpPages(usualBindings, columns, height, true);
    for (const lines of pages) {
      expect(lines.length).toBeLessThanOrEqual(height - 2);
      for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(columns);
    }
    const text = pages.flat().map(plainText).join('\n');
    expect(text).toContain('1–9  0');
    for (const { help, action, keys } of usualBindings)
      if (!/^(degree|share)-\d/.test(action) && keys.length > 0)
        expect(text).toContain(help.slice(0, Math.min(help.length, 32)));
    expect(text).toContain('stays planted');
    for (const says of [
      'two frets toward the bridge',
      'other fingers take over, bass side first',
      'back (nut), up (bridge)',
    ])
      expect(text).toContain(says);
  });

  it.each([
    [140, 44],
    [160, 30],
    [240, 50],
  ])('at %dx%d begins no column in the middle of what a key does', (columns, height) => {
    const across = Math.floor(columns / 50);
    const width = Math.floor(columns / across);
    for (const lines of helpPages(usualBindings, columns, height, true)) {
      const top = plainText(lines[0] ?? []);
      for (let column = 0; column < across; column += 1)
        expect(top.slice(column * width, (column + 1) * width)).toMatch(/^ \S|^ *$/);
    }
  });

  it('tells what the same keys do in several places once', () => {
    const lines = (helpPages(usualBindings, 99, 500, true)[0] ?? []).map((line) => plainText(line).trimEnd());
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
    expect(helpPages(own, 240, 69, true).flat().map(plainText).join('\n')).toMatch(/Ctrl-T +tap the tempo/);
  });
});

describe('the keys of this place', () => {
  const shown = (place: KeyPlace, columns: number, height: number, page = 0) =>
    helpScreen({ bindings: usualBindings, unicode: true, page }, { columns, height }, { place, group: null });

  it.each(places)('are one screen at 80x24, whole, in two columns: %s', (place) => {
    const lines = shown(place, 80, 23);
    expect(plainText(lines[0] ?? [])).toContain('page 1 of');
    expect(plainText(lines[0] ?? [])).toContain('the keys of this place');
    expect(plainText(shown(place, 80, 23, 1)[0] ?? [])).toContain('all keys');
    for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(80);
    const text = lines.map(plainText).join('\n');
    expect(text).not.toContain('…');
    // Every key that does something there, or the first and last of figures that do alike.
    for (const { action, keys, place: of } of usualBindings)
      if (of === place && keys.length > 0 && !/^(share|degree)-\d/.test(action))
        expect(text, action).toContain(keyLabel(keys[0] as string, true));
  });

  it.each([
    [100, 29],
    [140, 44],
  ])('begin what they do in one column at %dx%d, however long a key’s name is', (columns, height) => {
    const lines = shown('stand', columns, height).map(plainText);
    const starts = ['play, or pause', 'end with this pass', 'back to the list', 'leave'].map((says) => {
      const line = lines.find((one) => one.includes(says)) ?? '';
      return line.indexOf(says) % Math.floor(columns / Math.min(3, Math.floor(columns / 38)));
    });
    expect(new Set(starts).size).toBe(1);
    expect(starts[0]).toBeGreaterThan(0);
  });

  it('name keys that the stand has in a set too, and none that would lead away from it', () => {
    const text = shown('song', 80, 23).map(plainText).join('\n');
    expect(text).toContain('1–0');
    expect(text).toContain('voices, and how loud');
    expect(text).not.toContain('a drill from this chart');
  });

  it('come again after all the others', () => {
    const count = Number(/of (\d+)/.exec(plainText(shown('stand', 80, 23)[0] ?? []))?.[1]);
    expect(count).toBeGreaterThan(1);
    expect(shown('stand', 80, 23, count)).toEqual(shown('stand', 80, 23));
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
