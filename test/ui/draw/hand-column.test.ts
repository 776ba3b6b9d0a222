import { describe, expect, it } from 'vitest';
import { plainText } from '../../../src/ui/draw/line.js';
import { standLines } from '../../../src/ui/draw/stand.js';
import { having, standing, standingText } from '../model.js';

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

  it.each([
    [80, 24],
    [100, 30],
    [60, 20],
  ])('tells no frets while the hand is hidden, of the family neither, at %i by %i', (columns, rows) => {
    const frets = /\d+-\d+-\d+-[\dx]/;
    const shown = standing('ropewalk-penny', columns, rows);
    const hidden = having(shown, { kind: 'action', action: 'hide-hand', at: 0 }).model;
    expect(standLines(shown).map(plainText).join('\n')).toMatch(frets);
    expect(standLines(hidden).map(plainText).join('\n')).not.toMatch(frets);
  });

  it('names nothing that comes where one chord goes round', () => {
    const chord = 'title: One\nkey: G\ntempo: 120\nsections:\n  V: 1 1 1 1\n';
    const lines = standLines(standingText(chord, { columns: 140, rows: 45 })).map(plainText);
    expect(lines.filter((line) => /\bnext\b/.test(line))).toHaveLength(1);
  });
});
