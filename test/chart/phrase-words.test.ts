import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { barText, editBar } from '../../src/chart/edit-bar.js';
import { phraseWords, versesFor, wordsOf } from '../../src/chart/phrase-words.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';

function text(sections: string, form = ''): string {
  return `title: T\nkey: G\ntempo: 120\n${form}sections:\n${sections}`;
}

function read(sections: string, form = ''): Chart {
  const reading = readChart(new TextEncoder().encode(text(sections, form)));
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return reading.value;
}

function faults(sections: string): string[] {
  return readChart(new TextEncoder().encode(text(sections))).faults.map(
    ({ line, column, severity, message }) => `${line}:${column} ${severity} ${message}`,
  );
}

/** The words of a pass: the bar they stand at, from 1, and the lines. */
function played(sections: string, form = '', allVerses = false): string[] {
  return unroll(read(sections, form), { final: true, allVerses }).bars.flatMap(({ words }, bar) =>
    words ? [`${bar + 1} ${words.join(' / ')}`] : [],
  );
}

describe('wordsOf', () => {
  it.each([
    ['> The river took', 'The river took'],
    ['>no space', 'no space'],
    ['  > a; "b" [c] |: > d  ', 'a; "b" [c] |: > d'],
    ['>', ''],
    ['1 4 > 5', null],
    ['; > a', null],
    ['', null],
  ])('of %s', (line, words) => {
    expect(wordsOf(line)).toBe(words);
  });
});

describe('lines of words in a section', () => {
  const river = '  A: |\n    > The river; "took" it\n    > and 1 more\n\n    1 4 5 1\n    1 1 5 1 ; plain\n';

  it('stand above the next line of bars, each a line of its own', () => {
    const [section] = read(river).sections;
    expect(section?.lines.map(({ words }) => words)).toEqual([
      'The river; "took" it',
      'and 1 more',
      undefined,
      undefined,
      undefined,
    ]);
    expect(section && [...phraseWords(section)]).toEqual([[3, ['The river; "took" it', 'and 1 more']]]);
    expect(played(river)).toEqual(['1 The river; "took" it / and 1 more']);
  });

  it('are written as they were read', () => {
    const chart = read(river);
    expect(writeChart(chart)).toContain('    > The river; "took" it\n    > and 1 more\n\n    1 4 5 1\n');
    expect(writeChart(read(river.replace('> The', '>   The')))).toBe(writeChart(chart));
  });

  it('tell nothing about whether a section is in letters', () => {
    expect(read('  A: |\n    > A day\n    1 4 5 1\n').sections[0]?.letters).toBe(false);
    expect(read('  A: |\n    > 1 day\n    G C D G\n').sections[0]?.letters).toBe(true);
  });

  it('must have words, and bars after them', () => {
    expect(faults('  A: |\n    1 4 5 1\n    >\n    1 4 5 1\n')).toEqual([
      '7:5 error there are no words after “>”; write the words of the next line of bars there, as in > the river ran high',
    ]);
    expect(faults('  A: |\n    1 4 5 1\n     > gone\n')).toEqual([
      '7:6 warning no line of bars follows the words “gone” in their section, so they are not shown',
    ]);
    expect(faults('  A: |\n    > gone\n')[0]).toBe(
      '6:5 error no line of bars follows the words “gone” in their section; write the bars below the words',
    );
    expect(faults('  A: |\n    1 4 > 5\n')[0]).toContain('6:9 error');
  });

  it('wait over a line that has no bar', () => {
    expect(played('  A: |\n    > up\n    @key+2\n    "in"\n    1 4 5 1\n')).toEqual(['1 up']);
  });
});

describe('words as they are played', () => {
  it('stand at the phrase’s first bar each time it is played', () => {
    expect(played('  A: |\n    > a\n    |: 1 4\n    > b\n    5 1 :|\n')).toEqual([
      '1 a',
      '3 b',
      '5 a',
      '7 b',
    ]);
    expect(played('  A: |\n    > a\n    |: 1 :| x3\n')).toEqual(['1 a', '2 a', '3 a']);
    expect(played('  A: |\n    > a\n    |: [1st 1 ] [2nd 5 ] 4 :|\n')).toEqual(['1 a', '3 a']);
  });

  it('do not stand at a repeat that begins amid a phrase', () => {
    expect(played('  A: |\n    > a\n    1 4 |: 5 1\n    > b\n    1 1 :|\n')).toEqual(['1 a', '5 b', '9 b']);
  });

  it('have the verse of this time through the part of the form', () => {
    const verses = '  V: |\n    > 1. one\n    > 2. two\n    > each\n    1 4\n  B: all of V\n';
    expect(played(verses, 'form: V, B, V x2\n')).toEqual([
      '1 one / each',
      '3 one / each',
      '5 two / each',
      '7 each',
    ]);
    expect(played(verses, 'form: V, B\n', true)).toEqual([
      '1 1. one / 2. two / each',
      '3 1. one / 2. two / each',
    ]);
    expect(versesFor(['12. twelve', '1.5 beats'], 12)).toEqual(['twelve', '1.5 beats']);
  });

  it('are told with an ellipsis where a piece begins amid a phrase', () => {
    const tag = '  V: |\n    > 1. one\n    > each\n    1 4 5 1\n  T: last 2 of V\n';
    expect(played(tag, 'form: V, T\n')).toEqual(['1 one / each', '5 … one / each']);
  });
});

describe('the pencil', () => {
  it('finds and changes bars below lines of words, and leaves those alone', () => {
    const source = text('  A: |\n    > 1 4 5\n    1 4 5 1\n    > more\n    1 1 5 1\n');
    const reading = readChart(new TextEncoder().encode(source));
    if (!reading.ok) throw new Error('a fault');
    const bar = { section: 0, line: 3, bar: 2 };
    expect(barText(source, reading.value, bar)?.text).toBe('5');
    const edited = editBar(source, reading.value, bar, '5^7');
    expect(edited.ok && edited.value.text).toBe(source.replace('1 1 5 1', '1 1 5^7 1'));
  });
});

describe('words that read as bars', () => {
  const says =
    "these words look like bars; write an early chord with a tick, as in '4, and words after “>” and a space";
  it.each([
    ['>4 1 5 1', 'error'],
    ['>A D E A', 'error'],
    ["> 4 1 (5 1) '1 =", 'warning'],
    ['> 1', 'warning'],
  ])('%s is told', (line, severity) => {
    expect(faults(`  V: |\n    ${line}\n    1 4 5 1\n`)).toEqual([`6:5 ${severity} ${says}`]);
  });

  it.each(['>no bars', '> 1. The river', '> A river ran', '> 4 and 20'])('%s is not', (line) => {
    expect(faults(`  V: |\n    ${line}\n    1 4 5 1\n`)).toEqual([]);
  });
});

describe('verses that are numbered otherwise', () => {
  it.each([
    ['1) The river', '1. The river'],
    ['(2) The river', '2. The river'],
    ['1.The river', '1. The river'],
    ['2: The river', '2. The river'],
    ['V1: The river', '1. The river'],
    ['Verse 3 The river', '3. The river'],
  ])('> %s', (line, meant) => {
    expect(faults(`  V: |\n    > ${line}\n    1 4 5 1\n`)).toEqual([
      `6:5 warning verses are numbered with a full stop and a space: “${meant}”`,
    ]);
  });

  it.each(['1. The river', '4:30 in the morning', '1 The river', '3.5 miles', 'Vera 1: so'])(
    'not > %s',
    (line) => {
      expect(faults(`  V: |\n    > ${line}\n    1 4 5 1\n`)).toEqual([]);
    },
  );
});
