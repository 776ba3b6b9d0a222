import { describe, expect, it } from 'vitest';
import { type ChartView, chartLines } from '../../../src/ui/draw/chart.js';
import { formParts } from '../../../src/ui/draw/layout.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import { formStrip } from '../../../src/ui/draw/strip.js';
import { chartViewOf } from './chart-views.js';

const song = `title: Ferry Bell
key: A
tempo: 120
meter: 4/4
form: V, C
sections:
  V: |
    |: 1 (4... 5.) 5^7 "all in" 1~ :|
  C: |
    @key+2 4! @3/4 1/3 '6- nc
`;

function view(changes: Partial<ChartView> = {}, text = song): ChartView {
  return chartViewOf(text, changes);
}

function picture(changes: Partial<ChartView>, width = 57, height = 6): string[] {
  return chartLines(view(changes), width, height).map((line) => plainText(line).trimEnd());
}

describe('chartLines', () => {
  it('draws numbers, chords and beats, and what changes, on the fewest lines', () => {
    expect(picture({ bar: 4 })).toEqual([
      '         1           4       5   5⁷          1~',
      '         A           D       E   E7          A',
      '         ─ ── ── ──  ─ ── ── ──  ─ ── ── ──  “all in”',
      "C        4!          1/3         '6-         nc",
      '         E           B/D♯        G♯m         ·',
      '         key B       3/4         ── ─── ───  ── ─── ───',
    ]);
  });

  it('says beside a part who leads it, and how loud it is', () => {
    const loud = song.replace('form: V, C', 'form: V (soft), C (banjo, up)');
    const gutter = (changes: Partial<ChartView>): string[] =>
      chartLines(view(changes, loud), 57, 6).map((line) => plainText(line).slice(0, 9).trimEnd());
    expect(gutter({ bar: 8 }).slice(0, 3)).toStrictEqual(['C', 'banjo', 'up']);
    expect(gutter({ bar: 0, layout: 'written' })).toContain('soft');
  });

  it('has the marks on a line of their own where there is room', () => {
    expect(picture({ bar: 4 }, 57, 16).slice(0, 12)).toEqual([
      '                                             “all in”',
      'V        1           4       5   5⁷          1~',
      '         A           D       E   E7          A',
      '         ─ ── ── ──  ─ ── ── ──  ─ ── ── ──  ─ ── ── ──',
      '                                             “all in”',
      '         1           4       5   5⁷          1~',
      '         A           D       E   E7          A',
      '         ─ ── ── ──  ─ ── ── ──  ─ ── ── ──  ─ ── ── ──',
      '         key B       3/4',
      "C        4!          1/3         '6-         nc",
      '         E           B/D♯        G♯m         ·',
      '         ─ ── ── ──  ── ─── ───  ── ─── ───  ── ─── ───',
    ]);
  });

  it('lets the last mark of a line run on to the end of the line, also where bars are missing after it', () => {
    const short = `title: T\nkey: A\nsections:\n  V: |\n    1 "the banjo alone" 5\n`;
    const over = chartLines(view({}, short), 57, 16).map((line) => plainText(line).trimEnd());
    expect(over).toContain('                     “the banjo alone”');
  });

  it('draws the chart as it is written', () => {
    expect(picture({ layout: 'written' })).toEqual([
      'V        |:1         4       5   5⁷          1~       :|',
      '           A         D       E   E7          A',
      '           ─ ─ ─ ──  ─ ── ── ──  ─ ── ── ──  “all in”',
      "C        4!          1/3         '6-         nc",
      '         E           B/D♯        G♯m         ·',
      '         key B       3/4         ── ─── ───  ── ─── ───',
    ]);
  });

  it('shows only numbers, or only chords', () => {
    expect(picture({ names: 'numbers' }).slice(0, 2)).toEqual([
      'V        1           4       5   5⁷          1~',
      '',
    ]);
    expect(picture({ names: 'chords' }).slice(0, 2)).toEqual([
      'V        A           D       E   E7          A~',
      '',
    ]);
  });

  it('marks the beat that sounds, and what is hard', () => {
    const drawn = chartLines(
      view({ bar: 1, beat: 3, isHard: (bar, cell) => bar === 1 && cell === 1 }),
      57,
      6,
    );
    expect(plainText(drawn[0] ?? [])).toContain('4       5▴');
    expect(drawn[0]?.find((piece) => piece.style === 'here')?.text).toBe('5');
    expect(drawn[2]?.filter((piece) => piece.style === 'rail-on').map((piece) => piece.text)).toEqual(['━━']);
  });

  it('hides what comes', () => {
    expect(picture({ ahead: false }).slice(3)).toEqual(['', '', '']);
  });

  it('keeps the line that is played at its height, and the one that comes in sight', () => {
    for (const layout of ['fours', 'phrases', 'written'] as const) {
      for (const height of [6, 9, 16, 24]) {
        for (let bar = 0; bar < 12; bar += 1) {
          const lines = chartLines(view({ bar, layout, beat: 0 }), 57, height);
          const at = lines.findIndex((line) => line.some((piece) => piece.style === 'here'));
          expect(at).toBe(height >= 16 ? 5 : height >= 9 ? 3 : 0);
          for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(58);
        }
      }
    }
  });

  it('shows the line that comes even where it stands far away as written', () => {
    const far = song.replace('  C: |', '  D: |\n    1 1 1 1\n  C: |').replace('V, C', 'V, C, D');
    const base = view({ layout: 'written', bar: 15 }, far);
    const lines = chartLines(base, 57, 6).map((line) => plainText(line).trimEnd());
    expect(lines.join('\n')).toContain('then');
  });
});

describe('formStrip', () => {
  const strip = (bar: number, width: number, text = song): string => {
    const { bars } = view({}, text);
    return plainText(
      formStrip({ parts: formParts(bars), bar, range: { from: 0, to: bars.length }, unicode: true }, width),
    );
  };

  it('shows the whole form and how much of it is played', () => {
    expect(strip(0, 40)).toBe('V━━─────────────────────╴C───────────── ');
    expect(strip(7, 40)).toBe('V━━━━━━━━━━━━━━━━━━━━━━━╴C───────────── ');
    expect(strip(11, 40)).toBe('V━━━━━━━━━━━━━━━━━━━━━━━╴C━━━━━━━━━━━━━ ');
  });

  it('says how loud a part is where there is room for that', () => {
    const loud = song.replace('form: V, C', 'form: V (soft), C (up)');
    expect(strip(0, 40, loud)).toBe('V soft──────────────────╴C up────────── ');
    expect(strip(0, 8, loud)).toMatch(/^V/);
    expect(strip(0, 8, loud)).not.toContain('soft');
  });

  it.each([1, 2, 3, 10, 38])('is the whole form on %i columns too', (width) => {
    const many = song
      .replace('@key+2 4! @3/4 1/3', '4! 1/3')
      .replace('form: V, C', `form: ${Array(20).fill('V, C').join(', ')}`);
    const drawn = strip(200, width, many);
    expect([...drawn].length).toBeLessThanOrEqual(width);
    expect([...drawn].length).toBeGreaterThan(0);
  });
});
