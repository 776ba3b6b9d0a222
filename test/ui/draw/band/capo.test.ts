import { describe, expect, it } from 'vitest';
import { capoFor } from '../../../../src/band/parts.js';
import { readChart } from '../../../../src/chart/read.js';
import { unroll } from '../../../../src/chart/unroll.js';
import { showText } from '../../../../src/commands/show-text.js';
import { chordName } from '../../../../src/theory/chord.js';
import { capoBars, capoText } from '../../../../src/ui/draw/band/capo-bars.js';
import { standLines } from '../../../../src/ui/draw/stand.js';
import { keyOf } from '../../model.js';
import { bandScene, texts } from './stage.js';

/** A part once through, so that what is printed of it and what is played are the same bars. */
const chartOf = (key: string, numbers: string) => {
  const source = `title: Letters\nkey: ${key}\ntempo: 100\nmeter: 4/4\nform: A\nsections:\n  A: |\n    ${numbers}\n`;
  const reading = readChart(new TextEncoder().encode(source));
  if (!reading.ok) throw new Error(source);
  return reading.value;
};

const numbers = '1 4 (5 1) b7 6- 2-^7 1/3 #4o 3^7 b3 nc 5^7';

describe('the letters behind a capo', () => {
  for (const key of ['A', 'Bb', 'F#', 'Eb', 'C', 'F#m', 'Gm', 'Bm'])
    for (const fret of [null, 0, 1, 5, 9])
      it(`are those of show --capo: ${key}, ${fret ?? 'auto'}`, () => {
        const chart = chartOf(key, numbers);
        const { bars } = unroll(chart, { key: chart.key });
        const capo = capoFor(chart.key, fret);
        const text = showText(chart, chart.key, bars, capo);
        // Of each row the third line has the shapes.
        const rows = text.slice(text.indexOf('A') + 1);
        const printed = rows
          .filter((_, index) => index % 3 === 2)
          .flatMap((line) => line.match(/\([^)]*\)|\S+/g) ?? []);
        const shown = capoBars(bars, capo.fret).map(({ cells }) => {
          const names = cells.map(({ chord }) => (chord ? chordName(chord) : ''));
          return names.length > 1 ? `(${names.join(' ')})` : names[0];
        });
        expect(rows.length % 3).toBe(0);
        expect(printed).toEqual(shown.filter((name) => name !== ''));
        expect(shown).toHaveLength(12);
      });

  it('stand on the chart and in the pane, with the key that sounds', () => {
    const lines = texts(standLines(bandScene({ part: 'guitar', at: { bar: 12, beat: 0 } })));
    expect(lines.join('\n')).toContain('capo 2, plays as G (key A)');
    expect(lines.find((line) => line.includes(' C ') && /\bC +4 +4 +1 +1/.test(line))).toBeDefined();
    expect(lines.some((line) => /^ {10}C +C +G +G/.test(line))).toBe(true);
    expect(lines.some((line) => /^ {10}D +D +A +A/.test(line))).toBe(false);
  });

  it('are at the player’s own fret where one is set, and in the concert key without a capo', () => {
    const at = { bar: 12, beat: 0 };
    const fifth = texts(standLines(bandScene({ part: 'banjo', at, view: { capo: 5 } })));
    expect(fifth.join('\n')).toContain('capo 5, plays as E (key A)');
    const none = texts(standLines(bandScene({ part: 'guitar', at, view: { capo: 0 } })));
    expect(none.join('\n')).toContain('no capo, plays in A');
  });

  it('are made once for a pass, so that its layout holds', () => {
    const { bars } = unroll(chartOf('A', numbers), { key: keyOf('A') });
    expect(capoBars(bars, 2)).toBe(capoBars(bars, 2));
    expect(capoBars(bars, 2)).not.toBe(capoBars(bars, 3));
    expect(capoBars(bars, 0)).toBe(bars);
  });

  it('are told with the key they come to', () => {
    expect(capoText({ fret: 3 }, keyOf('Bb'), true)).toBe('capo 3, plays as G (key B♭)');
    expect(capoText({ fret: 3 }, keyOf('Bb'), false)).toBe('capo 3, plays as G (key Bb)');
    expect(capoText({ fret: 0 }, keyOf('Em'), true)).toBe('no capo, plays in Em');
  });
});
