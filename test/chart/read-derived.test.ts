import { describe, expect, it } from 'vitest';
import { Faults } from '../../src/chart/fault.js';
import { looksDerived, readDerived } from '../../src/chart/read-derived.js';
import { writeChart } from '../../src/chart/write.js';
import { barsOf, chart, faultsOf, headed, played } from './written.js';

const start = { line: 3, column: 7 };
const context = {
  key: { tonic: 'A', mode: 'major' },
  meter: { beats: 4, unit: 4 },
  crooked: false,
} as const;

function derived(text: string) {
  const faults = new Faults();
  const lines = text.split('\n').map((line, index) => ({ text: line, line: 3 + index, column: 7 }));
  return { ...readDerived(lines, context, faults), faults: faults.list };
}

const one = (tag: string, head = ''): string =>
  headed(`crooked: yes\n${head}form: V, tag\nsections:\n  V: |\n    1 4 5 1\n    2- 5 1 1\n  tag: ${tag}\n`);

describe('readDerived', () => {
  it.each([
    ['all of V', [{ of: 'V', take: { kind: 'all' } }]],
    ['last 4 of C', [{ of: 'C', take: { kind: 'last', bars: 4 } }]],
    ['first 8 of half tag', [{ of: 'half tag', take: { kind: 'first', bars: 8 } }]],
    ['bars 3-6 of V', [{ of: 'V', take: { kind: 'bars', from: 3, to: 6 } }]],
    ['bars 3 - 6 of V', [{ of: 'V', take: { kind: 'bars', from: 3, to: 6 } }]],
    [
      'all of V + last 1 of C\n',
      [
        { of: 'V', take: { kind: 'all' } },
        { of: 'C', take: { kind: 'last', bars: 1 } },
      ],
    ],
    [
      'all of V+last 1\n of C',
      [
        { of: 'V', take: { kind: 'all' } },
        { of: 'C', take: { kind: 'last', bars: 1 } },
      ],
    ],
  ])('%j', (text, excerpts) => {
    expect(looksDerived(text)).toBe(true);
    expect(derived(text)).toStrictEqual({ derived: excerpts, letters: false, faults: [] });
  });

  it.each(['last four of C', 'last 4 C', 'all V', 'bars 3 of V', 'first -1 of V'])(
    '%s is refused',
    (text) => {
      expect(derived(text).faults).toStrictEqual([
        {
          ...start,
          severity: 'error',
          message: expect.stringMatching(/does not say what to take from a section; write “last 4 of C”/),
        },
      ]);
    },
  );

  it.each([
    '1 4 5 1',
    'A D',
    'nc',
    'allof',
    'alls well',
    '',
    '"1 + all of it" 1 4',
    '1 4 ; + all of V',
    '5+ 1',
  ])('%j does not look derived', (text) => {
    expect(looksDerived(text)).toBe(false);
  });
});

describe('bars of its own in a section that is taken from others', () => {
  it.each([
    ['first 6 of V + 5 1', '1 4 5 1 2- 5 5 1'],
    ['first 2 of V + (5 4) 1~', '1 4 (5 4) 1'],
    ['1 + last 2 of V', '1 1 1'],
    ['1 5 + last 2 of V + 4 = nc', '1 5 1 1 4 4 nc'],
    ["last 1 of V + '4! (1.. 5..) 5+ 1/3", '1 4 (1 5) 5+ 1/3'],
    ['last 1 of V+ 5 1', '1 5 1'],
    ['|\n    first 2 of V\n    + 5 1\n    4 4 +\n    last 1 of V', '1 4 5 1 4 4 1'],
    ['|\n    "in + out" 5 #4o @tempo=90 1 + last 1 of V', '5 #4o 1 1'],
    ['first 1 of V + D E7', '1 4 5^7'],
  ])('%s', (tag, bars) => {
    expect(played(one(tag))).toBe(`1 4 5 1 2- 5 1 1 ${bars}`);
    const text = writeChart(chart(one(tag)));
    expect(played(text)).toBe(`1 4 5 1 2- 5 1 1 ${bars}`);
    expect(writeChart(chart(text))).toBe(text);
  });

  it('says where each bar is written: its section, its piece, and its place there', () => {
    const bars = barsOf(one('5 + last 1 of V + 4 1'));
    expect(bars.slice(8).map(({ section, source }) => [section, source])).toStrictEqual([
      ['tag', { section: 1, line: 0, bar: 0 }],
      ['tag', { section: 0, line: 1, bar: 3 }],
      ['tag', { section: 1, line: 2, bar: 0 }],
      ['tag', { section: 1, line: 2, bar: 1 }],
    ]);
  });

  it('writes one line where YAML takes it for what it is, else a block', () => {
    expect(writeChart(chart(one('first 6 of V + 5   1')))).toContain('  tag: first 6 of V + 5 1\n');
    expect(writeChart(chart(one('|\n    first 1 of V + 5 #4o')))).toContain(
      '  tag: |\n    first 1 of V + 5 #4o\n',
    );
    expect(writeChart(chart(one('first 1 of V + D E7')))).toContain('  tag: first 1 of V + D E7\n');
  });

  it.each([
    ['first 6 of V + 57 1', '9:24 error “57” can be read two ways'],
    ['first 6 of V +', '9:22 error something is missing next to this “+”'],
    ['first 6 of V + + 5', '9:22 error something is missing next to this “+”'],
    ['first 6 of V + = 1', '9:23 error “=” repeats the bar before it, but there is none'],
    ['|\n    first 6 of V + |: 5 1 :|', '10:20 error only bars'],
    ['first 6 of V + 5 1 @fine', '9:27 error only bars'],
    ['first 6 of V + 5 1 ; soft', '9:27 error a comment cannot go here'],
    ['first 6 of V + 5 D', '9:25 error “D” is a letter in a section of numbers'],
    ['|\n    first 6 of V\n    + 5 1\n    8 1', '12:5 error there is no degree 8'],
    ['first 9 of V + 5 1', '9:3 error section “V” has 8 bars'],
  ])('%s', (tag, message) => {
    expect(faultsOf(one(tag)).find((fault) => fault.includes('error'))).toMatch(
      new RegExp(`^${message.replace(/[+^|()]/g, '\\$&')}`),
    );
  });
});
