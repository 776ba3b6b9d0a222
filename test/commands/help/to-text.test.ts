import { describe, expect, it } from 'vitest';
import { tableOf } from '../../../src/commands/help/table.js';
import { toText } from '../../../src/commands/help/to-text.js';

describe('a page on a terminal', () => {
  it('has headings, and paragraphs wrapped to the width', () => {
    const page =
      '# The stand\n\nIt says `a b` and **more**, see [the set](set.md) or\n_another_ snake_case_word.\n';
    expect(toText(page, 24, (text) => `<${text}>`)).toEqual([
      '<THE STAND>',
      '',
      'It says `a b` and more,',
      'see the set or another',
      'snake_case_word.',
    ]);
    expect(toText('## Two\nbelow', 40, (text) => `<${text}>`)).toEqual(['<Two>', '', 'below']);
  });

  it('keeps code as it is, with the empty lines within it', () => {
    expect(toText('Said:\n\n    one  | two\n\n      three and a long line\n\nand on', 12)).toEqual([
      'Said:',
      '',
      '    one  | two',
      '',
      '      three and a long line',
      '',
      'and on',
    ]);
  });

  it('indents the lines of a list', () => {
    expect(toText('- one that is long\n  and goes on\n- two', 16)).toEqual([
      '  - one that is',
      '    long and',
      '    goes on',
      '  - two',
    ]);
  });

  it('lays out a table within the width, and knows a bar within a cell', () => {
    const table = tableOf(
      ['written', 'means'],
      [
        ['`|: 1 :|`', 'a repeat'],
        ['`=`', 'the bar `1` before, once more'],
      ],
    );
    expect(table).toBe(
      [
        '| written     | means                         |',
        '| ----------- | ----------------------------- |',
        '| `\\|: 1 :\\|` | a repeat                      |',
        '| `=`         | the bar `1` before, once more |',
      ].join('\n'),
    );
    expect(toText(table, 34)).toEqual([
      '  written  means',
      '  --------------------------------',
      '  |: 1 :|  a repeat',
      '  =        the bar `1` before,',
      '           once more',
    ]);
    expect(toText('| a | b |\n| --- | --- |\n| <code>&#124;: 4</code> | x |', 40)[2]).toBe('  |: 4  x');
  });

  it('is no wider than it may be, but for code', () => {
    const page = `${'word '.repeat(60)}\n\n| a | b |\n| --- | --- |\n| ${'cell '.repeat(20)} | ${'other '.repeat(30)} |`;
    for (const width of [40, 60, 80, 100])
      for (const line of toText(page, width)) expect(line.length).toBeLessThanOrEqual(width);
  });
});
