import { describe, expect, test } from 'vitest';
import { chartOfText } from '../../../src/shed/chart-of-text.js';
import { startFromDiary } from '../../../src/shed/dictation/from-diary.js';
import { beginDictation } from '../../../src/shed/dictation/round.js';
import { chartSources } from '../../../src/shed/dictation/source.js';
import { hasTuneOver } from '../../../src/shed/dictation/tune-over.js';

const standing = (level: number, goodInRow: number) => ({ level, goodInRow, badInRow: 0 });

describe('a tune over the changes', () => {
  test('is there from the third level on, over the phrase that would lead up', () => {
    const has = (level: number, good: number) => hasTuneOver('changes', null, standing(level, good));
    expect([0, 1, 2, 3, 10].map((level) => [has(level, 0), has(level, 1)])).toEqual([
      [false, false],
      [false, false],
      [false, true],
      [false, true],
      [false, true],
    ]);
  });

  test('is there, or not, as it is said; never over the bass', () => {
    expect(hasTuneOver('changes', true, standing(0, 0))).toBe(true);
    expect(hasTuneOver('changes', false, standing(5, 1))).toBe(false);
    expect(hasTuneOver('bass', true, standing(5, 1))).toBe(false);
  });

  test('changes nothing of what is asked', () => {
    const round = (tune: boolean) =>
      beginDictation(startFromDiary([], 'changes', { seed: 7, now: 0, standing: standing(7, 0), tune }))
        .round;
    const [led, bare] = [round(true), round(false)];
    expect(led.questions).toEqual(bare.questions);
    expect(led.chart.tune).toHaveLength(1);
    expect(bare.chart.tune).toBeUndefined();
    const { tune: _, ...rest } = led.chart;
    expect(rest).toEqual(bare.chart);
  });

  test('is the chart’s own where its changes are asked, but for --no-tune', () => {
    const chart = chartOfText(
      'title: x\nkey: G\ntempo: 120\nsections:\n  V: |\n    1 4 5/7 1\ntune:\n  V: |\n    G8 | c8 | d8 | G8 |\n',
    );
    if (!chart) throw new Error('it does not read');
    const sources = chartSources([chart], 'changes');
    const tune = (said: boolean | null) =>
      beginDictation(startFromDiary([], 'changes', { seed: 7, now: 0, tune: said, sources })).round.chart
        .tune;
    expect(tune(null)).toBeDefined();
    expect(tune(true)).toBeDefined();
    expect(tune(false)).toBeUndefined();
    // By its bass alone 5/7 would be taken for what it is not.
    expect(chartSources([chart], 'bass')).toEqual([]);
  });
});
