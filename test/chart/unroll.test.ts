import { describe, expect, it } from 'vitest';
import type { Section } from '../../src/chart/chart.js';
import { barLimit } from '../../src/chart/limits.js';
import { unroll } from '../../src/chart/unroll.js';
import { barsOf, chart, chartOf, headed, played } from './written.js';

describe('repeats and endings', () => {
  it.each([
    ['1 4 = 5', '1 4 4 5', '1 4 4 5'],
    ['1 |: 4 5 :| 1', '1 4 5 4 5 1', '1 4 5 4 5 1'],
    ['|: 1 :| x3 4', '1 1 1 4', '1 1 1 4'],
    ['|: 1\n4 :| 5', '1 4 1 4 5', '1 4 1 4 5'],
    ['|: 1 [1st 4 ] [2nd 5 ] :|', '1 4 1 5', '1 4 1 5'],
    ['|: 1 [1st 4 ] :| [2nd 5 ]', '1 4 1 5', '1 4 1 5'],
    ['|: 1 [1st 4 :| [2nd 5 ] 6-', '1 4 1 5 6-', '1 4 1 5 6-'],
    ['|: 1 [1st,2nd 4 ] [3rd 5 ] :|', '1 4 1 4 1 5', '1 4 1 4 1 5'],
    ['|: 1 [1st 4 ] :| [2nd 5 ] [3rd 6- ] 7o', '1 4 1 5 1 6- 7o', '1 4 1 5 1 6- 7o'],
    ['|: 1 [1st 4 ] [2nd 5 ] 2- :|', '1 4 2- 1 5 2-', '1 4 2- 1 5 2-'],
    // With more times than endings the last ending stands for the rest.
    ['|: 1 [1st 4 ] [2nd 5 ] :| x3', '1 4 1 5 1 5', '1 4 1 5 1 5'],
    ['|: 1 :| |: 4 :|', '1 1 4 4', '1 1 4 4'],
    ['1 4 [last 5 ]', '1 4', '1 4 5'],
    ['1 [last 4 ] 5', '1 5', '1 4 5'],
    ['|: 1 [1st 4 ] [2nd 5 ] [last 6- ] :|', '1 4 1 5', '1 4 1 5 6-'],
    ['|: 1 :| [last 4 ]', '1 1', '1 1 4'],
    ['|: (1 4) nc :|', '(1 4) nc (1 4) nc', '(1 4) nc (1 4) nc'],
  ])('%j plays %s, and at last %s', (bars, pass, last) => {
    expect(played(chartOf(bars))).toBe(pass);
    expect(played(chartOf(bars), { final: true })).toBe(last);
  });
});

describe('the form', () => {
  const text = headed(
    'pattern: chop\nform: "W, V x2 (me: ring), X"\nsections:\n  V: |\n    1 4\n    5 6-\n  W: last 2 of V\n  X: first 1 of V + bars 2-3 of V + all of W\n',
  );

  it('plays written and derived sections in its order', () => {
    expect(played(text)).toBe('5 6- 1 4 5 6- 1 4 5 6- 1 4 5 5 6-');
  });

  it('tells of each bar its entry, round, role, pattern and where it is written', () => {
    const told = barsOf(text).map(({ section, entry, round, who, pattern, source }) =>
      [section, entry, round, who, pattern, source.section, source.line, source.bar].join(' '),
    );
    expect([told[0], told[2], told[7], told[14]]).toStrictEqual([
      'W 0 0  chop 0 1 0',
      'V 1 0 me ring 0 0 0',
      'V 1 1 me ring 0 0 1',
      'X 2 0  chop 0 1 1',
    ]);
  });

  it('stops at its limit', () => {
    const { bars, fault } = unroll({
      ...chart(chartOf('1 4 5')),
      form: chart(chartOf('1', 'form: V x100\n')).form.flatMap((one) => Array(40).fill(one)),
    });
    expect(bars).toHaveLength(barLimit);
    expect(fault).toMatchObject({
      severity: 'error',
      line: 3,
      column: 7,
      message: expect.stringContaining('more than 10000 bars'),
    });
  });

  it('stops at its limit without spelling out sections made of sections', () => {
    const base = chart(chartOf('1'));
    const [written] = base.sections as [Section];
    const all = (index: number) => ({ of: `a${index}`, take: { kind: 'all' } }) as const;
    const layers = Array.from(
      { length: 23 },
      (_, index): Section => ({
        ...written,
        name: `a${index}`,
        lines: [],
        derived: [all(index + 1), all(index + 1)],
      }),
    );
    const form = base.form.map((entry) => ({ ...entry, section: 'a0' }));
    const { bars } = unroll({ ...base, form, sections: [...layers, { ...written, name: 'a23' }] });
    expect(bars).toHaveLength(barLimit);
  });
});
