import { describe, expect, it } from 'vitest';
import { good, misread } from '../../src/base/outcome.js';
import { Faults } from '../../src/chart/fault.js';
import { YamlFields } from '../../src/chart/yaml-fields.js';
import { parseYaml } from '../../src/chart/yaml-source.js';

const source = `name: " Ansa "
bars: 12
empty:
below:
  one: 1
`;

function fields(mayBeEmpty = false): { fields: YamlFields; told: () => string[] } {
  const faults = new Faults();
  const entries = parseYaml(new TextEncoder().encode(source), faults)?.entries ?? [];
  const told = () => faults.list.map(({ line, column, message }) => `${line}:${column}: ${message}`);
  return { fields: new YamlFields(entries, faults, mayBeEmpty), told };
}

describe('YamlFields', () => {
  it('reads text, without the spaces around it', () => {
    const { fields: read, told } = fields();
    expect([read.text('name'), read.text('bars'), read.text('gone')]).toStrictEqual(['Ansa', '12', null]);
    expect(told()).toStrictEqual([]);
  });

  it('tells of a value that is not text', () => {
    const { fields: read, told } = fields();
    expect([read.text('below'), read.text('empty')]).toStrictEqual([null, null]);
    expect(told()).toStrictEqual([
      '5:3: below is text on its line: “below: …”',
      expect.stringContaining('empty is text on its line: “empty: …”'),
    ]);
  });

  it('takes a name without a value for one that is not given, where that may be', () => {
    const { fields: read, told } = fields(true);
    expect(read.text('empty')).toBeNull();
    expect(told()).toStrictEqual([]);
  });

  it('tells where the text starts that a parser cannot read: after its quote', () => {
    const { fields: read, told } = fields();
    expect(read.parsed('bars', (text) => good(Number(text)))).toBe(12);
    expect(read.parsed('name', (text) => misread(`${text} is none`))).toBeNull();
    expect(told()).toStrictEqual(['1:8: Ansa is none']);
  });

  it('reads whole numbers within limits', () => {
    const { fields: read, told } = fields();
    expect([read.whole('bars', 1, 12), read.whole('bars', 1, 11), read.whole('gone', 1, 2)]).toStrictEqual([
      12,
      null,
      null,
    ]);
    expect(told()).toStrictEqual(['2:7: bars “12” is not a whole number from 1 to 11']);
  });

  it('reads what stands below a name', () => {
    const { fields: read, told } = fields();
    expect(read.map('below', 'no').map(({ name }) => name)).toStrictEqual(['one']);
    expect([read.map('gone', 'no'), read.map('bars', 'bars have their own lines')]).toStrictEqual([[], []]);
    expect(told()).toStrictEqual(['2:7: bars have their own lines']);
  });

  it('warns of names it does not know, and of what may have been meant', () => {
    const { fields: read, told } = fields();
    read.warnUnknown('a thing', ['name', 'bar', 'empty', 'below']);
    expect(told()).toStrictEqual([
      '2:1: “bars” is not a field of a thing; did you mean “bar”?; it is ignored',
    ]);
  });
});
