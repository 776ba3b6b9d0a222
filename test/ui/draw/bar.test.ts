import { describe, expect, it } from 'vitest';
import { readChart } from '../../../src/chart/read.js';
import { unroll } from '../../../src/chart/unroll.js';
import { type BarLook, firstLine, secondLine } from '../../../src/ui/draw/bar.js';
import { plainText } from '../../../src/ui/draw/line.js';

/** A bar alone, as its first and second line. */
function drawn(written: string, width: number, hard: readonly number[] = []): [string, string] {
  const text = `title: T\nkey: C\ntempo: 100\nmeter: 4/4\nsections:\n  V: ${written}\n`;
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error(read.faults[0]?.message);
  const [bar] = unroll(read.value).bars;
  if (!bar) throw new Error('no bar');
  const look: BarLook = {
    width,
    here: false,
    beat: null,
    unicode: true,
    before: '',
    after: '',
    hard: bar.cells.map((_, index) => hard.includes(index)),
    called: bar.cells.map(() => true),
  };
  const lines = [firstLine(bar, look, 'both'), secondLine(bar, look, 'both')].map(plainText);
  for (const line of lines) expect(line).toHaveLength(width);
  return lines.map((line) => line.trimEnd()) as [string, string];
}

describe('a bar of unequal parts', () => {
  it('gives each chord the room it needs while there is some beside it', () => {
    expect(drawn('(1-. b7. 1-..)', 14, [1])).toEqual(['1- ♭7▴ 1-', 'Cm B♭  Cm']);
    expect(drawn('(1... 4_.)', 9)).toEqual(['1     4_', 'C     F']);
    expect(drawn('(5^7. 4.. 5.)', 9)).toEqual(['5⁷ 4  5', 'G7 F  G']);
    expect(drawn('(1... 1-_.)', 6)).toEqual(['1 1-_', 'C Cm']);
  });

  it('cuts only where all of them are wider than the bar', () => {
    expect(drawn('(b7o b6o)', 8)).toEqual(['♭7° ♭6°', 'B♭… A♭…']);
    expect(drawn('(b7o b6o)', 7)[0]).toBe('♭… ♭6°');
    expect(drawn('(1 4 5 1 4 5 1 4)', 6)[0]).toBe('14514…');
  });
});
