import { describe, expect, it } from 'vitest';
import { mandolin } from '../../src/hand/instrument.js';
import { type Arrangement, arrange } from '../../src/time/arrange.js';
import { chart } from '../hand/charts.js';
import { key } from '../theory/reading.js';

const arranged = (written: string, tonic = 'G', head = {}): Arrangement =>
  arrange(chart(written, head), { key: key(tonic), instrument: mandolin, share: 1 });

/** The low notes of a bar, in their order. */
const lows = (of: Pick<Arrangement, 'score'>, bar: number): number[] =>
  (of.score.notes[bar] ?? []).filter((note) => note.voice === 'low').map((note) => note.note);
const voicesOf = (of: Arrangement, bar: number): string[] => [
  ...new Set((of.score.notes[bar] ?? []).map((note) => note.voice)),
];

describe('arrange', () => {
  // Common practice: G 7-5-2-3 has D4 (62) on its lowest course, C 5-2-3-x has C4 (60).
  it('strikes the notes of the planned fingerings', () => {
    const made = arranged('1 4');
    expect(lows(made, 0)).toStrictEqual([62, 62]);
    expect(lows(made, 1)).toStrictEqual([60, 60]);
    const chop = (made.score.notes[0] ?? []).filter((note) => note.voice === 'chop').slice(0, 4);
    expect(chop.map((note) => note.note)).toStrictEqual([62, 67, 71, 79]);
    expect(lows(arranged('(1 4)'), 0)).toStrictEqual([62, 60]);
  });

  it.each([
    ['a chord a bar', '1 4 5', [[0], [1], [2]]],
    ['a chord that stays', '1 1 4 =', [[0], [0], [1], [1]]],
    [
      'split bars',
      '(1 4) (4 1)',
      [
        [0, 1],
        [1, 2],
      ],
    ],
    ['no chord', 'nc 1 nc 1 (4 nc)', [[-1], [0], [-1], [0], [1, -1]]],
    ['a chord without a shape', '1 4^sus4 1', [[0], [1], [2]]],
  ])('knows which change holds in each cell: %s', (_, written, changeAt) => {
    expect(arranged(written).changeAt).toStrictEqual(changeAt);
  });

  it('is silent where there is no chord, and finds a shape for every other', () => {
    const made = arranged('1 nc 4^sus4');
    expect(voicesOf(made, 0)).toStrictEqual(['bass', 'low', 'chop']);
    expect(voicesOf(made, 1)).toStrictEqual([]);
    expect(voicesOf(made, 2)).toStrictEqual(['bass', 'low', 'chop']);
  });

  it('puts the chart into the key that is asked for', () => {
    const made = arranged('1 4', 'A');
    expect(made.key).toStrictEqual(key('A'));
    expect(made.plan.changes.map((one) => one.chord.root)).toStrictEqual(['A', 'D']);
    expect(lows(made, 0)).toStrictEqual([64, 64]);
  });

  it('is as long as its bars, whatever the key', () => {
    const made = arranged('1 @3/4 4 (1.. 4.)', 'Bb');
    expect(made.bars).toHaveLength(3);
    expect(made.score.bars.map((bar) => bar.length)).toStrictEqual([3840, 2880, 2880]);
    expect(made.score.notes).toHaveLength(3);
  });

  it('has a final pass only where the chart ends otherwise', () => {
    expect(arranged('1 4').final).toBeNull();
    const made = arranged('1 4 [last 5 1~ ]');
    expect(made.bars).toHaveLength(2);
    expect(made.final?.bars).toHaveLength(4);
    expect(made.final?.score.bars).toHaveLength(4);
    expect(made.final?.changeAt).toStrictEqual([[0], [1], [2], [3]]);
  });

  it('gives a chop its milliseconds at the share that is played', () => {
    const options = { key: key('G'), instrument: mandolin };
    const chopAt = (share: number): number =>
      (arrange(chart('1 4'), { ...options, share }).score.notes[0] ?? []).find(
        (note) => note.voice === 'chop',
      )?.length ?? 0;
    // 60 ms are 115.2 ticks at 120, half as many at 60.
    expect([chopAt(1), chopAt(0.5)]).toStrictEqual([115, 58]);
  });
});
