import { describe, expect, it } from 'vitest';
import { chordName } from '../../src/theory/chord.js';
import { keyName } from '../../src/theory/key.js';
import { key } from '../theory/reading.js';
import { barsOf, chartOf, faultsOf, headed } from './written.js';

describe('cells', () => {
  const cells = (bars: string, head = '') =>
    barsOf(chartOf(bars, head)).map((bar) => bar.cells.map(({ at, beats }) => [at, beats]));

  it.each([
    ['1', '4/4', [[0, 4]]],
    [
      '(1 4)',
      '4/4',
      [
        [0, 2],
        [2, 2],
      ],
    ],
    [
      '(1... 5.)',
      '4/4',
      [
        [0, 3],
        [3, 1],
      ],
    ],
    [
      '(1 4)',
      '3/4',
      [
        [0, 1.5],
        [1.5, 1.5],
      ],
    ],
    [
      '(1. 4.)',
      '6/8',
      [
        [0, 1],
        [1, 1],
      ],
    ],
    [
      '(1 4)',
      'cut',
      [
        [0, 1],
        [1, 1],
      ],
    ],
  ])('%s in %s', (bar, meter, parts) => {
    expect(cells(bar, `meter: ${meter}\n`)).toStrictEqual([parts]);
  });

  it('fill their bar without a gap', () => {
    const [bar] = barsOf(chartOf('(1 4 5 6- 2-)'));
    const ends = bar?.cells.map(({ at, beats }) => at + beats) ?? [];
    expect(bar?.cells.map(({ at }) => at)).toStrictEqual([
      0,
      ...ends.slice(0, -1).map((end) => expect.closeTo(end, 12)),
    ]);
    expect(ends.at(-1)).toBeCloseTo(4, 12);
  });

  it('carry their chords and marks', () => {
    const [bar] = barsOf(chartOf("('5^7/7~ nc!)"), { key: key('Eb') });
    expect(
      bar?.cells.map(({ chord, early, ending }) => [chord && chordName(chord), early, ending]),
    ).toStrictEqual([
      ['Bb7/D', true, 'ring'],
      [null, false, 'stop'],
    ]);
  });
});

describe('changes', () => {
  const text = headed('form: V, W, V\nsections:\n  V: 1 @key+2 @3/4 @tempo=90 @swing=62 1\n  W: 1\n');

  it('hold from where they stand to the end of the pass', () => {
    const told = barsOf(text).map((bar) =>
      [keyName(bar.key), bar.beats, bar.tempo.bpm, bar.feel.swing].join(' '),
    );
    expect(told).toStrictEqual(
      ['A 4 120 50', 'B 3 90 62', 'B 3 90 62', 'B 3 90 62', 'C# 3 90 62'].map((one) =>
        one.replace('C#', 'Db'),
      ),
    );
  });

  it('move whatever key the chart is put in', () => {
    expect(barsOf(text, { key: key('G') }).map((bar) => keyName(bar.key))).toStrictEqual([
      'G',
      'A',
      'A',
      'A',
      'B',
    ]);
  });

  it('count the tempo as the head counts it', () => {
    const [, bar] = barsOf(chartOf('1 @tempo=90 1', 'tempo: half=118\n'));
    expect(bar?.tempo).toStrictEqual({ bpm: 90, count: 'half' });
  });

  it('reach into what is cut from behind them', () => {
    const cut = headed('form: W\nsections:\n  V: "1 @3/4 4 5 @6/8 1"\n  W: bars 3-3 of V\n');
    expect(barsOf(cut).map((bar) => bar.beats)).toStrictEqual([3]);
  });

  it('within an ending hold only where it is played', () => {
    const beats = (final: boolean) =>
      barsOf(chartOf('1 [last @3/4 4 ] 5'), { final }).map((bar) => bar.beats);
    expect(beats(false)).toStrictEqual([4, 4]);
    expect(beats(true)).toStrictEqual([4, 3, 3]);
  });
});

describe('cues', () => {
  it('stand with the bar behind them', () => {
    expect(barsOf(chartOf('"all" 1 4 "in" "low" |: 5 :|')).map((bar) => bar.cues)).toStrictEqual([
      ['all'],
      [],
      ['in', 'low'],
      [],
    ]);
  });

  it('behind the last bar are shown or told, never lost', () => {
    const bars = '1 4 "hold"';
    const shown = barsOf(chartOf(bars)).flatMap((bar) => bar.cues);
    expect([...shown, ...faultsOf(chartOf(bars))].join()).toContain('hold');
  });
});
