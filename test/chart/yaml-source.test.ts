import { describe, expect, it } from 'vitest';
import { Faults } from '../../src/chart/fault.js';
import { parseYaml, sizeLimit, type Value } from '../../src/chart/yaml-source.js';
import { bytes } from './written.js';

function yaml(text: string | Uint8Array) {
  const faults = new Faults();
  const source = parseYaml(typeof text === 'string' ? bytes(text) : text, faults);
  const told = faults.list.map(({ line, column, message }) => `${line}:${column} ${message}`);
  return { source, told };
}

function entryValue(text: string, name: string): Value {
  const value = yaml(text).source?.entries.find((entry) => entry.name === name)?.value;
  if (!value) throw new Error(`no ${name}`);
  return value;
}

const linesOf = (text: string): unknown => {
  const value = entryValue(text, 'V');
  return value.kind === 'text' && value.lines.map((line) => `${line.line}:${line.column} ${line.text}`);
};

describe('values', () => {
  it('are text, lists, maps or nothing, with their places', () => {
    const { source, told } = yaml('a: 1.50\nb: yes\nc: [x, ~]\nd:\n  e: "q"\nf:\n');
    expect(told).toStrictEqual([]);
    expect(source?.entries.map(({ name, place, value }) => [name, place.line, value.kind])).toStrictEqual([
      ['a', 1, 'text'],
      ['b', 2, 'text'],
      ['c', 3, 'list'],
      ['d', 4, 'map'],
      ['f', 6, 'nothing'],
    ]);
    expect(entryValue('a: 1.50\n', 'a')).toMatchObject({ text: '1.50', place: { line: 1, column: 4 } });
  });

  it.each([
    ['a block', 'V: |\n  1 4\n  5\n', ['2:3 1 4', '3:3 5']],
    [
      'a block with a remark and empty lines',
      'V: | # x\n\n    1\n\n    4\n\n',
      ['2:1 ', '3:5 1', '4:1 ', '5:5 4'],
    ],
    ['a block that keeps its end', 'V: |+\n  1\n\n', ['2:3 1']],
    ['a block with its indentation told', 'V: |2\n     1\n', ['2:3    1']],
    ['a block indented more below', 'V: |\n  1\n    4\n', ['2:3 1', '3:3   4']],
    ['a block in a file of another system', 'a: x\r\nV: |\r\n  1 4\r\n  5\r\n', ['3:3 1 4', '4:3 5']],
    ['a block behind a byte order mark', '\ufeffV: |\n  1\n', ['2:3 1']],
    ['text on its line', 'V:  1 4 # x\n', ['1:5 1 4']],
    ['text in quotes', 'V: "1 4"\n', ['1:5 1 4']],
    ['text in single quotes', "V: '1 4'\n", ['1:5 1 4']],
  ])('%s has its lines where they stand', (_, text, lines) => {
    expect(linesOf(text)).toStrictEqual(lines);
  });

  it.each([
    ['V: >\n  1\n  4\n', true],
    ['V: 1\n  4\n', true],
    ['V: "1\n  4"\n', true],
    ['V: |\n  1\n  4\n', false],
    ['V: 1 4\n', false],
  ])('%j runs its lines together: %s', (text, folded) => {
    expect(entryValue(text, 'V')).toMatchObject({ kind: 'text', folded });
  });
});

describe('refusals', () => {
  it.each([
    ['an empty file', '', '1:1 this is not a chart, set or instrument'],
    ['a list', '- a\n', '1:1 this is not a chart, set or instrument'],
    ['plain text', 'abc\n', '1:1 this is not a chart, set or instrument'],
    [
      'an anchor',
      'a: &x b\n',
      '1:7 this is an anchor (&name), which charts do not have; write out the value',
    ],
    ['an anchor on a name', '&x a: b\n', '1:4 this is an anchor (&name)'],
    ['an alias', 'a: b\nc: *x\n', '2:4 '],
    ['a tag', 'a: !x b\n', '1:7 this is a tag (!name), which charts do not have; leave it out'],
    [
      'a tag of the language',
      'a: !!str b\n',
      '1:10 this is a tag (!name), which charts do not have; leave it out',
    ],
    [
      'a tag written out',
      'a: !<tag:yaml.org,2002:str> b\n',
      '1:29 this is a tag (!name), which charts do not have; leave it out',
    ],
    ['a name twice', 'a: 1\nb: 2\na: 3\n', '3:1 “a” is given twice; remove one of them'],
    ['a name twice below', 'a:\n  V: 1\n  V: 2\n', '3:3 “V” is given twice; remove one of them'],
    ['a name twice in a list', 'a:\n  - V: 1\n    V: 2\n', '3:5 “V” is given twice; remove one of them'],
    ['a tab before a name', 'a:\n\tV: 1\n', '2:1 a tab indents this line; use spaces'],
    ['a bracket left open', 'a: [b\n', '2:1 something is not finished here'],
    ['two documents', 'a: b\n---\nc: d\n', '2:1 a second document starts here; one file holds one chart'],
    ['a zero byte', 'a: b\nc\0: d\n', '2:2 the file is not text (it contains a zero byte)'],
    ['a zero byte behind letters of several bytes', 'a: éé𝄞\0', '1:7 the file is not text'],
  ])('%s', (_, text, first) => {
    expect(yaml(text).told[0] ?? 'nothing told').toContain(first);
  });

  it.each([
    ['a stray byte', [97, 58, 10, 98, 0xff], '2:2'],
    ['half a character at the end', [97, 58, 32, 0xe2, 0x99], '1:'],
    ['a stray byte behind letters of several bytes', [0xc3, 0xa9, 0xc3, 0xa9, 0xff], '1:3'],
  ])('%s is no UTF-8', (_, all, place) => {
    const { source, told } = yaml(new Uint8Array(all));
    expect(source).toBeNull();
    expect(told).toStrictEqual([
      expect.stringMatching(`^${place}.*the file is not UTF-8 text; save it as UTF-8`),
    ]);
  });

  it('more than 1 MiB, and not a byte less', () => {
    const full = bytes(`a: b\n${'#'.repeat(sizeLimit - 5)}`);
    expect(yaml(full).told).toStrictEqual([]);
    expect(yaml(new Uint8Array([...full, 35])).told).toStrictEqual([
      '1:1 the file has 1.0 MiB; a chart can have at most 1 MiB',
    ]);
  });

  it('places what comes after a stray bracket on its own line', () => {
    const { told } = yaml('a: b\n]x\nc: d\n');
    expect(told[0]).toMatch(/^2:1 /);
    expect(told.filter((one) => /^2:([4-9]|\d\d)/.test(one))).toStrictEqual([]);
  });
});

describe('the lines of a block', () => {
  it('have places inside the file, also where a blank line is shorter than the indentation', () => {
    expect(linesOf('V: |\n\n    1 4\n  \n    5\n')).toStrictEqual(['2:1 ', '3:5 1 4', '4:3 ', '5:5 5']);
  });
});

describe('any depth', () => {
  it.each([
    ['lists', '[', ']'],
    ['lists that never end', '[1st ', ''],
    ['maps', '{a: ', '}'],
    ['names in lists', '[a: ', ']'],
    ['lists line by line', '- ', ''],
    ['names that are maps', '? ', ''],
  ])('of %s is read or refused', (_, open, close) => {
    for (let depth = 2; depth < 6000; depth = Math.ceil(depth * 1.2)) {
      const before = open.endsWith('- ') || open.startsWith('?') ? '' : 'title: ';
      const faults = new Faults();
      parseYaml(new TextEncoder().encode(`${before}${open.repeat(depth)}${close.repeat(depth)}\n`), faults);
      if (depth > 200) expect(faults.failed).toBe(true);
    }
  });
});

describe('a place on a very long line', () => {
  it('finds each of two anchors after them', () => {
    const faults = new Faults();
    parseYaml(new TextEncoder().encode(`a: [${'𝄞,'.repeat(3000)} &x b, 𝄞, &y c]\n`), faults);
    expect(faults.list.map((fault) => fault.column)).toEqual([6006 + 3, 6006 + 3 + 9]);
  });
});
