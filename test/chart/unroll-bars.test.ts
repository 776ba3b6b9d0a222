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
      '(1.. 4.)',
      '3/4',
      [
        [0, 2],
        [2, 1],
      ],
    ],
    [
      '(1... 5.)',
      'cut',
      [
        [0, 1.5],
        [1.5, 0.5],
      ],
    ],
    [
      '(1.. 4. 5.)',
      'cut',
      [
        [0, 1],
        [1, 0.5],
        [1.5, 0.5],
      ],
    ],
    [
      '(1.. 5....)',
      '6/8',
      [
        [0, 2 / 3],
        [2 / 3, 4 / 3],
      ],
    ],
    [
      '(1.... 4..... 5...)',
      '12/8',
      [
        [0, 4 / 3],
        [4 / 3, 5 / 3],
        [3, 1],
      ],
    ],
    [
      '(1. 5..)',
      '3/8',
      [
        [0, 1 / 3],
        [1 / 3, 2 / 3],
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

  it('count felt beats in a crooked chart whatever they come to, with a warning where a full bar could be meant', () => {
    const head = 'meter: cut\ncrooked: yes\n';
    expect(cells('(1... 5.) (1. 5.) (1.. 5.)', head)).toStrictEqual([
      [
        [0, 3],
        [3, 1],
      ],
      [
        [0, 1],
        [1, 1],
      ],
      [
        [0, 2],
        [2, 1],
      ],
    ]);
    expect(faultsOf(chartOf('1 (1... 5.) (1. 5.) (1.. 5.)\n=', head))).toStrictEqual([
      '7:7 warning 4 dots are 4 felt beats in a crooked chart, which is as long as two bars and can also be written 1 (1 5); to get one bar of 4 quarters, write @4/4 (1... 5.) @2/2',
    ]);
    expect(faultsOf(chartOf("(1.. '5....)", 'meter: 6/8\ncrooked: yes\n'))[0]).toBe(
      "7:5 warning 6 dots are 6 felt beats in a crooked chart, which is as long as three bars and can also be written 1 '5 5; to get one bar of 6 eighths, write @3/4 (1. '5..) @6/8",
    );
    expect(faultsOf(chartOf('(A. E.....)', 'meter: 6/8\ncrooked: yes\n'))[0]).toContain(
      'can also be written (A E) E E; to get one bar of 6 eighths, write (A. E.....) without “crooked: yes” in the head',
    );
  });

  it('are read in the meter in which the form comes to them', () => {
    const sections = 'sections:\n  A: 1 @2/2 1\n  B: (1 4 5 1) (1... 5.)\n  C: 1 @3/4 1\n  D: (1 4)\n';
    const [, , even, dotted] = barsOf(headed(`form: A, B\n${sections}`));
    expect(even?.cells.map(({ at }) => at)).toStrictEqual([0, 0.5, 1, 1.5]);
    expect([dotted?.beats, ...(dotted?.cells.map(({ at }) => at) ?? [])]).toStrictEqual([2, 0, 1.5]);
    // D alone, in the head's meter, is well; after C it would be shared in three.
    expect(barsOf(headed(`form: D\n${sections}`))).toHaveLength(1);
    expect(
      faultsOf(headed(`form: A, B, C, D\n${sections}`)).filter((fault) => fault.includes('error')),
    ).toStrictEqual([
      '8:6 error when the form reaches this bar, 2 chords do not divide the beats of a bar of 3/4 evenly; use dots to say how long each one is: (1.. 4.) or (1. 4..)',
    ]);
    expect(faultsOf(headed('sections:\n  V: |\n    |: (1 4) @3/4 1 :|\n')).join()).toContain(
      '5:8 error when the form reaches this bar, 2 chords do not divide the beats of a bar of 3/4',
    );
  });

  it('fill their bar without a gap', () => {
    const [bar] = barsOf(chartOf('(1 4 5 6- 2- 1 4 5)'));
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

  it('reach into what is cut after them', () => {
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
  it('stand with the bar after them', () => {
    expect(barsOf(chartOf('"all" 1 4 "in" "low" |: 5 :|')).map((bar) => bar.cues)).toStrictEqual([
      ['all'],
      [],
      ['in', 'low'],
      [],
    ]);
  });

  it('after the last bar are shown or told, never lost', () => {
    const bars = '1 4 "hold"';
    const shown = barsOf(chartOf(bars)).flatMap((bar) => bar.cues);
    expect([...shown, ...faultsOf(chartOf(bars))].join()).toContain('hold');
  });
});
