import { describe, expect, it } from 'vitest';
import { unroll } from '../../src/chart/unroll.js';
import { mandolin } from '../../src/hand/instrument.js';
import { arrange, lastOf, patternOf, walks } from '../../src/time/arrange.js';
import { chart as read } from '../chart/written.js';

/** Two sections, played and played once more by a form word with these options. */
const song = (entries: string, word: string) => {
  const chart = read(
    `title: T\nkey: G\ntempo: 120\nform: ${entries}, from sign to coda${word}, coda\nsections:\n  V: |\n    1 1 @sign 4 4\n  C: |\n    5 5 @to-coda 1 1\n  coda: |\n    1 1\n`,
  );
  const { bars } = unroll(chart);
  return {
    chart,
    bars,
    /** The patterns of the bars that are played once more: two of V and two of C. */
    again: bars.slice(8, 12).map((bar, at) => patternOf(chart, bar, {}, lastOf(bars, 8 + at)).name),
  };
};

describe('what a form word plays once more', () => {
  it.each([
    [
      'as it was: you lead in V, C has its pattern',
      'V (me), C (: ring)',
      '',
      ['rest', 'rest', 'ring', 'ring'],
    ],
    ['by the form word’s own pattern', 'V (me), C (: ring)', ' (: chop)', ['chop', 'chop', 'chop', 'chop']],
    ['somebody else leads', 'V (me), C', ' (banjo)', ['low-chop', 'low-chop', 'low-chop', 'low-chop']],
    [
      'an ending that an entry has, where that entry ends',
      'V (: last-two), C',
      '',
      ['low-chop', 'last-two', 'low-chop', 'low-chop'],
    ],
    [
      'an ending that the form word has, where all of it ends',
      'V, C',
      ' (: last-two)',
      ['low-chop', 'low-chop', 'low-chop', 'last-two'],
    ],
  ])('is played %s', (_, entries, word, patterns) => {
    expect(song(entries, word).again).toStrictEqual(patterns);
  });

  it('has the bass of its entry, or the form word’s', () => {
    const own = song('V (walk), C', '');
    expect(own.bars.map((bar) => walks(own.chart, bar, {}))).toStrictEqual(
      [1, 1, 1, 1, 0, 0, 0, 0, 1, 1, 0, 0, 0, 0].map((one) => one === 1),
    );
    const other = song('V (walk), C', ' (plain)');
    expect(other.bars.slice(8).some((bar) => walks(other.chart, bar, {}))).toBe(false);
  });

  it('is arranged with as many bars, and what its entry says of the level', () => {
    const { chart } = song('V (soft), C', '');
    const made = arrange(chart, { key: chart.key, instrument: mandolin, share: 1 });
    expect(made.score.bars).toHaveLength(14);
    expect(made.bars.slice(8, 12).map(({ level }) => level)).toStrictEqual(['soft', 'soft', null, null]);
  });
});
