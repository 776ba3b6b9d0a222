import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { slowedShare } from '../../src/chart/slowing.js';
import { writeChart } from '../../src/chart/write.js';
import { barsOf, bytes, chart, faultsOf, headed } from './written.js';

const song = (sections: string, form = ''): string =>
  headed(`${form === '' ? '' : `form: ${form}\n`}sections:\n${sections}`);
const section = (name: string, text: string): string => `  ${name}: |\n    ${text}\n`;
/** What the beats of each bar have of the tempo, in percent. */
const shares = (text: string, final = false): (number[] | null)[] =>
  barsOf(text, { final }).map(
    ({ slowing }) => slowing?.map((share) => Math.round(1000 * share) / 10) ?? null,
  );

describe('slowedShare', () => {
  it('falls by the same amount each beat, from the first, and the last beat has all of it', () => {
    const shares = [0, 1, 2, 3].map((beat) => slowedShare(1, 0.8, beat, 4));
    expect(shares.map((share) => Number(share.toFixed(9)))).toStrictEqual([0.95, 0.9, 0.85, 0.8]);
    expect(shares[3]).toBe(0.8);
  });
});

describe('@rit', () => {
  it('slows the bars after it to the end of its section, and what follows is in tempo', () => {
    expect(shares(song(section('V', '1 4 @rit=80% 5 1') + section('C', '4 4')))).toStrictEqual([
      null,
      null,
      [97.5, 95, 92.5, 90],
      [87.5, 85, 82.5, 80],
      null,
      null,
    ]);
  });

  it('begins again in each time through its section', () => {
    const made = shares(song(section('V', '1 @rit=60% 5'), 'V x2'));
    expect(made).toStrictEqual([null, [90, 80, 70, 60], null, [90, 80, 70, 60]]);
  });

  it('counts a held chord as the beat on which it is struck: that one has all of it', () => {
    const text = song(section('V', '1 1 [last @rit=70% 5 1_ ]'));
    expect(shares(text)).toStrictEqual([null, null]);
    expect(shares(text, true)).toStrictEqual([null, null, [94, 88, 82, 76], [70, 70, 70, 70]]);
  });

  it('ends with the piece of a section that others are made of', () => {
    const text = song(
      `${section('V', '1 @rit=60% 5')}${section('C', '4 4')}  tag: last 1 of V + all of C\n`,
      'V, C, tag',
    );
    expect(shares(text).slice(-3)).toStrictEqual([[90, 80, 70, 60], null, null]);
  });

  it('goes on from where one before it has led to, with a warning', () => {
    const text = song(section('V', '1 @rit=80% 5 @rit=40% 1'));
    expect(shares(text)).toStrictEqual([null, [95, 90, 85, 80], [70, 60, 50, 40]]);
    expect(faultsOf(text)).toContainEqual(
      expect.stringMatching(/^5:18 warning this is a second @rit in this section/),
    );
  });

  it.each([
    ['1 @rit=120% 5', /“@rit=120%” does not say how far to slow down; .* from 30 to 99: @rit=80%/],
    ['1 @rit=29% 5', /“@rit=29%” does not say/],
    ['1 @rit=80 5', /“@rit=80” does not say/],
    ['1 @rit 5', /“@rit” does not say/],
    ['1 @wait=0 5', /“@wait=0” is not a wait; write @wait, .* from 2 to 64: @wait=4/],
    ['1 @wait=1 5', /“@wait=1” is not a wait/],
    ['1 @wait=x 5', /“@wait=x” is not a wait/],
    ['1 5 @rit=80%', /warning no bar follows this @rit in its section/],
    ['1 1_3', /warning a chord of 4 beats is held for only 3; its written length is played/],
    ['@wait 1 5', /warning this @wait comes before the band has begun; write it after the bar/],
    ['1 5 @wait', /warning the form ends with @wait, and nothing follows it the last time/],
    ['1 @ritt=80% 1', /“@ritt=80%” is not a change; did you mean “rit”\?/],
  ])('%s is told', (bars, message) => {
    expect(faultsOf(song(section('V', bars)))).toContainEqual(expect.stringMatching(message));
  });
});

describe('a held chord', () => {
  const hold = (bars: string) =>
    barsOf(song(section('V', bars))).map(({ cells }) => cells.map((cell) => cell.hold));

  it('takes twice what is written where nothing else is, else what is said, but never less than written', () => {
    expect(hold('1_ 1_6 1_3 (5.. 1.._) (5 1_9)')).toStrictEqual([
      [8],
      [6],
      [4],
      [undefined, 4],
      [undefined, 9],
    ]);
  });

  it.each(['1_', "'1_6", '(5.. 1_..)', '(5.. 1_7..)', '5^7_', '5^7_7', '4^7_12', '1- 6-_'])(
    '%s is written as it is read',
    (bars) => {
      const text = song(section('V', `${bars} @wait 1 @wait=4 @rit=80% 5`));
      const read = chart(text);
      expect(writeChart(read)).toContain(`${bars} @wait 1 @wait=4 @rit=80% 5`);
      expect(readChart(bytes(writeChart(read)))).toMatchObject({ ok: true });
      expect(barsOf(writeChart(read))).toStrictEqual(barsOf(text));
    },
  );

  it('has its marks in any order', () => {
    expect(barsOf(song(section('V', '(5.. 1.._7)')))).toStrictEqual(
      barsOf(song(section('V', '(5.. 1_7..)'))),
    );
  });
});

describe('@wait', () => {
  it('stops the band after the bar before it, for a bar where nothing is said', () => {
    const text = song(`${section('V', '1 @wait 4 @3/4 5 @wait @4/4 1')}${section('C', '@wait=2 4')}`);
    expect(barsOf(text).map(({ wait }) => wait)).toStrictEqual([4, undefined, 3, 2, undefined]);
  });

  it('is not taken along with what is cut out after it', () => {
    const text = song(`${section('V', '1 @wait 4')}  tag: last 1 of V\n`, 'tag, V');
    expect(barsOf(text).map(({ wait }) => wait)).toStrictEqual([undefined, 4, undefined]);
  });
});
