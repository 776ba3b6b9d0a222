import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { bytes, chart, chartOf, expectShowable, faultsOf, headed, played } from './written.js';

/** Sections each made of the next one twice: the ways through them double with every layer. */
const doubling = (layers: number): string =>
  `${Array.from({ length: layers }, (_, index) => `  a${index}: all of a${index + 1} + all of a${index + 1}\n`).join('')}  a${layers}: "1"\n`;

describe('a chart', () => {
  it('reads with its sections and its form', () => {
    const read = chart(
      headed('form: V, C x2 (me)\nsections:\n  V: |\n    1 4\n  C: |\n    A D\n  tag: last 1 of V\n'),
    );
    expect(read.formWritten).toBe(true);
    expect(read.form.map(({ section, times, who }) => [section, times, who])).toStrictEqual([
      ['V', 1, null],
      ['C', 2, 'me'],
    ]);
    expect(
      read.sections.map(({ name, place, letters, derived }) => [name, place.line, letters, derived]),
    ).toStrictEqual([
      ['V', 5, false, null],
      ['C', 7, true, null],
      ['tag', 9, false, [{ of: 'V', take: { kind: 'last', bars: 1 } }]],
    ]);
  });

  it('without a form plays its sections once, in order', () => {
    const text = headed('sections:\n  V: 1 4\n  C: 5 1\n');
    expect(chart(text).formWritten).toBe(false);
    expect(played(text)).toBe('1 4 5 1');
  });

  it.each([
    ['a line', 'form: V, C, V\n'],
    ['a list', 'form:\n  - V\n  - C\n  - V\n'],
    ['a block', 'form: |\n  V, C,\n  V\n'],
    ['a line that goes on', 'form: V,\n  C, V\n'],
  ])('has its form as %s', (_, form) => {
    expect(played(headed(`${form}sections:\n  V: 1 4\n  C: 5\n`))).toBe('1 4 5 1 4');
  });
});

describe('faults of a chart', () => {
  it.each([
    ['no sections', '', '1:1 error the chart has no sections; write “sections:”'],
    ['empty sections', 'sections:\n', '3:10 error the chart has no sections'],
    [
      'a section of nothing',
      'sections:\n  V:\n',
      '4:5 error section “V” has no bars; write “V: |” and the bars below it',
    ],
    ['a section of a remark', 'sections:\n  V: |\n    ; later\n', '4:3 error section “V” has no bars'],
    [
      'bars that run together',
      'sections:\n  V: 1 4\n    5 1\n',
      '4:6 error the lines of section “V” would be joined into one',
    ],
    ['a bad name', 'sections:\n  1V: 1\n', '4:3 error “1V” is not a name for a section'],
    [
      'a form of an unknown section',
      'form: Verse, Vers\nsections:\n  Verse: 1\n',
      '3:14 error there is no section “Vers”; did you mean “Verse”?; the sections are: Verse',
    ],
    [
      'an unknown section in a list',
      'form:\n  - V\n  - V, W x2\nsections:\n  V: 1\n',
      '5:8 error there is no section “W”',
    ],
    [
      'an unknown section in a block',
      'form: |\n  V,\n  Verse\nsections:\n  V: 1\n',
      '5:3 error there is no section “Verse”',
    ],
    [
      'an unknown section in a line that goes on',
      'form: V,\n  V, Verse\nsections:\n  V: 1\n',
      '4:6 error there is no section “Verse”',
    ],
    ['a form of nothing', 'form:\nsections:\n  V: 1\n', '3:6 error the form is a line of section names'],
    [
      'a derived section of an unknown one',
      'sections:\n  Verse: 1\n  tag: all of Vers\n',
      '5:3 error there is no section “Vers”; did you mean “Verse”?',
    ],
    ['a section of itself', 'sections:\n  V: all of V\n', '4:3 error section “V” is made of itself'],
    [
      'sections of each other',
      'sections:\n  V: all of W\n  W: all of V\n',
      '4:3 error section “V” is made of itself',
    ],
    ['a name twice', 'sections:\n  V: 1\n  V: 4\n', '5:3 error “V” is given twice; remove one of them'],
  ])('%s', (_, text, first) => {
    expect(faultsOf(headed(text))[0]).toContain(first);
  });

  it('are told all at once, in the order of the file', () => {
    const text =
      'title: Tin Heron\nkey: H\ntempo: 9999\ntemop: 90\nform: V, Q\nsections:\n  V: |\n    1 q\n    |: (4 5\n';
    const places = faultsOf(text).map((one) => one.split(' ').slice(0, 2).join(' '));
    expect(places).toStrictEqual([
      '2:6 error',
      '3:8 error',
      '4:1 warning',
      '5:10 error',
      '8:7 error',
      '9:5 error',
      '9:8 error',
    ]);
  });

  it('do not say of a section with a bad bar that it has none', () => {
    expect(faultsOf(chartOf('57'))).toStrictEqual([
      expect.stringContaining('5:6 error “57” can be read two ways'),
    ]);
  });

  // A colon with a space after it ends a name in YAML: the form reads all the same, or the fault says to quote it.
  it('tell how to write a form with a pattern', () => {
    const told = faultsOf(headed('form: V, V (me: ring)\nsections:\n  V: 1\n'));
    expect(told.filter((one) => !one.includes('quotes'))).toStrictEqual([]);
  });

  it.each([
    ['the name of a section', 'sections:\n  "V\u001b[2J":\n'],
    ['the names listed', 'form: Q\nsections:\n  "V\\e[2J": 1\n'],
    ['an escape that is none', 'notes: "\\\u001b[2J"\nsections:\n  V: 1\n'],
  ])('hold no control character: %s', (_, text) => {
    const { faults } = readChart(bytes(headed(text)));
    expect(faults.length).toBeGreaterThan(0);
    expectShowable(headed(text), faults);
  });
});

describe('a chart far too large', () => {
  it('reads layers of sections made of sections without trying every way through', () => {
    const text = headed(`form: V\nsections:\n  V: 1\n${doubling(23)}`);
    expect(faultsOf(text)).toContainEqual(
      expect.stringContaining('section “a0” is made of other sections more than 16 levels deep'),
    );
  });

  it('answers for a long chain of sections', () => {
    const chain = Array.from({ length: 12_000 }, (_, index) => `  a${index}: all of a${index + 1}\n`).join(
      '',
    );
    const text = headed(`form: a0\nsections:\n${chain}  a12000: "1"\n`);
    expect(() => readChart(bytes(text))).not.toThrow();
  });
});

describe('pieces of sections that are written otherwise', () => {
  it.each([
    ['V + 5 1', '5:6 error take the bars of another section with “all of”: “all of V + 5 1”'],
    ['5 1 + V', '5:6 error take the bars of another section with “all of”: “5 1 + all of V”'],
    ['first 2 of V, 5 1', 'error “V, 5 1” is not a section; join pieces with “+”: “V + 5 1”'],
  ])('%s', (text, says) => {
    const { faults } = readChart(
      new TextEncoder().encode(`title: T\nkey: G\nsections:\n  V: 1 4\n  t: ${text}\n`),
    );
    const told = faults.map(
      ({ line, column, severity, message }) => `${line}:${column} ${severity} ${message}`,
    );
    expect(told).toStrictEqual([expect.stringContaining(says)]);
  });
});
