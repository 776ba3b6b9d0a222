import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ChartView, chartLines, leastChart } from '../../../src/ui/draw/chart.js';
import { comingRow, layOut } from '../../../src/ui/draw/layout.js';
import { lineWidth, plainText } from '../../../src/ui/draw/line.js';
import { layoutKinds } from '../../../src/ui/state/sight.js';
import { generatedChart } from '../../chart/generated.js';
import { chartViewOf } from './chart-views.js';

const song = `title: Mill Road
key: G
tempo: 120
form: V x2
sections:
  V: |
    > 1. The river took the mill road down and left the rope
    > 2. We built it up
    > (low harmony)
    "all in" "soft now" 1 4 5 1
    1 6- "the long stop comes after this bar" 2- 5
`;

function view(changes: Partial<ChartView> = {}, text = song): ChartView {
  return chartViewOf(text, changes, true);
}

function picture(changes: Partial<ChartView>, width: number, height: number, text = song): string[] {
  return chartLines(view(changes, text), width, height).map((line) => plainText(line).trimEnd());
}

describe('what stands over the bars', () => {
  it('is words over the width of the phrase, and each cue on lines of its own', () => {
    expect(picture({}, 45, 24)).toEqual([
      '',
      '',
      '',
      '         The river took the mill road down',
      '           and left the rope',
      '         (low harmony)',
      '         “all in”',
      '         “soft now”',
      'V        1        4        5        1',
      '         G        C        D        G',
      '         ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─',
      '                           “the long stop',
      '                             comes after',
      '                             this bar”',
      '         1        6-       2-       5',
      '         G        Em       Am       D',
      '         ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─',
      '         We built it up',
      '         (low harmony)',
      '         “all in”',
      '         “soft now”',
      'V        1        4        5        1',
      '         G        C        D        G',
      '         ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─  ─ ─ ─ ─',
    ]);
  });

  it('says with an ellipsis that there is more, on the fewest lines', () => {
    expect(picture({}, 57, leastChart)).toEqual([
      '         The river took the mill road down and left the …',
      'V        1           4           5           1',
      '         G           C           D           G',
      '         ─ ── ── ──  ─ ── ── ──  ─ ── ── ──  ─ ── ── ──',
      '                                 “the long stop comes   …',
      '         1           6-          2-          5',
    ]);
  });

  it('stays as it was sung until the row ends, where a row is drawn once for all its times', () => {
    for (const [bar, words] of [
      [0, 'The river'],
      [3, 'The river'],
      [8, 'We built'],
      [11, 'We built'],
    ] as const)
      expect(picture({ bar, layout: 'written' }, 60, 24).join('\n')).toContain(words);
    expect(picture({ bar: 3, layout: 'written' }, 60, 24).join('\n')).not.toContain('We built');
  });

  it('is not drawn where words are hidden; cues are', () => {
    const lines = picture({ words: false }, 60, 24).join('\n');
    expect(lines).not.toContain('river');
    expect(lines).toContain('“soft now”');
  });

  it('measures wide and combining signs, and lets no control character through', () => {
    const wide = song.replace(
      '(low harmony)',
      '水車小屋の道は川に流された、それでも歩く cafe\u0301 \u0085x\u202e',
    );
    const lines = chartLines(view({}, wide), 45, 24);
    const texts = lines.map((line) => plainText(line).trimEnd());
    expect(texts).toContain('         水車小屋の道は川に流された、それで');
    expect(texts.join('')).not.toMatch(/[\u0085\u202e]/u);
    for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(45);
  });

  it('leaves the line that is played at its height and the one that comes in sight, in any chart', () => {
    fc.assert(
      fc.property(
        generatedChart.map((text) => view({}, text)),
        fc.constantFrom(...layoutKinds),
        fc.integer({ min: 32, max: 140 }),
        fc.integer({ min: leastChart, max: 40 }),
        (made, layout, width, height) => {
          const most = Math.max(2, Math.min(8, Math.floor((width - 9) / 7)));
          const laid = layOut(made.chart, made.bars, layout, most);
          const heights = new Set<number>();
          for (let bar = 0; bar < made.bars.length; bar += 3) {
            const shown = { ...made, layout, bar, beat: 0 };
            const lines = chartLines(shown, width, height);
            heights.add(lines.findIndex((line) => line.some(({ style }) => style === 'here')));
            expect(lines.length).toBeLessThanOrEqual(height);
            for (const line of lines) expect(lineWidth(line)).toBeLessThanOrEqual(width + 1);
            const coming = comingRow(laid, bar, made.range, true);
            if (coming === null || coming === laid.rowOf[bar]) continue;
            const first = laid.rows[coming]?.slots.length ?? 0;
            const numbers = lines.filter((line) =>
              line.some(({ style }) => style === 'number' || style === 'here'),
            );
            expect(first > 0 && numbers.length > 1).toBe(true);
          }
          expect(heights.size).toBe(1);
          expect(heights.has(-1)).toBe(false);
        },
      ),
      { numRuns: 60 },
    );
  });
});
