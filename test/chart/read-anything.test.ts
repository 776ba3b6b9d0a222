import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { bytes, chartOf, expectShowable, headed } from './written.js';

/** A chart or faults that say why not; every place inside the file, nothing that steers a terminal. */
function expectAnswer(text: string): void {
  const reading = readChart(bytes(text));
  expectShowable(text, reading.faults);
  expect(reading.faults.some((fault) => fault.severity === 'error')).toBe(!reading.ok);
}

const marks = fc.constantFrom(
  ...'1|4|5^7|6-|b7|(1 4)|(|)|(1... 5.)|x3|[1st|[2nd|[last|[1st,2nd|]|=|@3/4|@4/4|@6/8|@key+2|@tempo=90|@swing=62'.split(
    '|',
  ),
  ...['|:', ':|', '"all"', '"', '; low', 'nc', "'4", '1~', '5!', '57', 'q', 'A', '1.', '\n', '\t', 'é', '𝄞'],
);
const bars = fc.array(marks, { maxLength: 14 }).map((all) => all.join(' '));
const pieces = fc.constantFrom(
  ...[
    'title: T\n',
    'key: A\n',
    'sections:\n',
    '  V: |\n',
    '    1 4\n',
    'form: V\n',
    'form: |\n  V,\n  Q\n',
    '  W: all of V\n',
  ],
  ...[
    'singers:\n',
    '  Ansa: Bb\n',
    '- a\n',
    'a: b\n',
    '---\n',
    '...\n',
    '\r\n',
    '\n',
    '  ',
    '\t',
    '&a ',
    '*a ',
    '!x ',
    '"',
    "'",
  ],
  ...[
    '[',
    ']',
    '{',
    '}',
    ': ',
    '? ',
    '- ',
    '|',
    '>',
    '#',
    '%',
    ',',
    '@',
    '`',
    '\\',
    'x',
    '\u001b',
    '\u0085',
    '\ufeff',
    'é',
    '𝄞',
  ],
);
const yaml = fc.array(pieces, { maxLength: 20 }).map((all) => all.join(''));

describe('readChart', () => {
  it('answers any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (all) => {
        const { ok, faults } = readChart(all);
        expect(faults.some((fault) => fault.severity === 'error')).toBe(!ok);
      }),
      { numRuns: 500 },
    );
  });

  it('answers any text', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary' }), expectAnswer), { numRuns: 500 });
  });

  it('answers to anything like YAML', () => {
    fc.assert(fc.property(yaml, expectAnswer), { numRuns: 1000 });
    fc.assert(
      fc.property(yaml, (more) => expectAnswer(headed(`sections:\n  V: |\n    1\n${more}`))),
      { numRuns: 1000 },
    );
  });

  it('answers to anything like bars', () => {
    fc.assert(
      fc.property(bars, (all) => expectAnswer(chartOf(all))),
      { numRuns: 2000 },
    );
  });

  it('lets nothing through that plays no bar, or bars of a wrong length, in any pass', () => {
    fc.assert(
      fc.property(bars, fc.boolean(), (all, final) => {
        const reading = readChart(bytes(chartOf(all)));
        if (!reading.ok) return;
        const pass = unroll(reading.value, { final });
        expect(pass.fault).toBeNull();
        expect(pass.bars.length).toBeGreaterThan(0);
      }),
      { numRuns: 5000 },
    );
  });
});

describe('nesting', () => {
  it.each([
    ['brackets', '['.repeat(100_000)],
    ['closed brackets', `a: ${'['.repeat(50_000)}${']'.repeat(50_000)}`],
    ['braces', '{a: '.repeat(100_000)],
    ['dashes', `a:\n${'- '.repeat(100_000)}b`],
    ['question marks', '? '.repeat(100_000)],
  ])('of %s is refused in one sentence, and not in words of the runtime', (_, text) => {
    const { ok, faults } = readChart(bytes(text));
    expect(ok).toBe(false);
    expect(faults[0]?.message).toContain('is nested too deeply');
    expect(faults).toHaveLength(1);
    expectShowable(text, faults);
  });

  it('of any depth gets an answer', () => {
    for (let depth = 1; depth < 2000; depth += 61) {
      expectAnswer(headed(`notes: ${'['.repeat(depth)}${']'.repeat(depth)}\nsections:\n  V: 1\n`));
    }
  });
});

describe('a sentence', () => {
  it.each([
    ['a word', chartOf('1'.repeat(100_000))],
    ['a tag', '!'.repeat(100_000)],
    ['a name', headed(`${'a'.repeat(900)}: b\nsections:\n  V: 1\n`)],
  ])('quotes no more than a glance of %s without end', (_, text) => {
    const long = readChart(bytes(text)).faults.filter((fault) => fault.message.length > 500);
    expect(long.map((fault) => fault.message.slice(0, 60))).toStrictEqual([]);
  });
});
