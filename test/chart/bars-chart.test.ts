import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type BareBars, barsChart } from '../../src/chart/bars-chart.js';
import { clickChart } from '../../src/chart/click-chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';

const read = (text: string) => readChart(new TextEncoder().encode(text));
const made = (bars: string, more: Partial<BareBars> = {}) => barsChart({ bars, key: 'A', ...more });
/** Where the faults of bars are, in what was given. */
const faults = (bars: string) => {
  const { text, placeIn } = made(bars);
  return read(text).faults.map((fault) => placeIn(fault));
};

describe('bars by themselves', () => {
  it('are a chart in their own notation, line by line', () => {
    expect(made(' 1 1  4 1 /  1 (5 4) |: 1/3 :|', { tempo: 'half=90', meter: '2/2' }).text).toBe(
      'title: "1 1  4 1 / 1 (5 4) |: 1/3 :|"\nkey: A\ntempo: half=90\nmeter: 2/2\nform: bars\nsections:\n  bars: |\n    1 1  4 1\n    1 (5 4) |: 1/3 :|\n',
    );
  });

  it.each([
    ['1 4', ['1 4']],
    ['1 4 /', ['1 4']],
    [' / 1 / 4', ['1', '4']],
    ['1\n4', ['1', '4']],
    ['1\r\n\n4\n', ['1', '4']],
  ])('of %j are the lines %j', (bars, written) => {
    const section = made(bars).text.split('  bars: |\n')[1] ?? '';
    expect(section).toBe(`${written.map((line) => `    ${line}\n`).join('')}`);
    const chart = read(made(bars).text);
    if (!chart.ok) throw new Error(JSON.stringify(chart.faults));
    expect(unroll(chart.value).bars.map(({ cells }) => String(cells[0]?.number?.degree))).toEqual(['1', '4']);
  });

  it('have a title that stays short, whatever stands in them', () => {
    expect(read(made('1 "“all” \\ in: #1" 4').text).ok).toBe(true);
    const long = read(made('1 4 '.repeat(100)).text);
    expect(long.ok && [...long.value.title].length).toBe(40);
  });

  it('are told of their faults where they were typed', () => {
    expect(faults('1 1 4 1 / 1 57 1 1')).toEqual([{ line: 1, column: 14 }]);
    expect(faults('1 | 4')).toEqual([{ line: 1, column: 3 }]);
    expect(faults('1 4\n   57 1')).toEqual([{ line: 2, column: 5 }]);
  });

  it('are, however they are spaced', () => {
    const space = fc.constantFrom(' ', '  ', '   ');
    const between = fc.constantFrom(' / ', '  /   ', '\n', '\r\n', ' /\n  ');
    const bar = fc.constantFrom('1', '4', '5^7', '(1 4)', '6-', '1/3', '"𝄞 ü" 1');
    const line = fc.array(fc.tuple(bar, space), { minLength: 1, maxLength: 5 });
    const lines = fc.array(fc.tuple(line, between), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(lines, fc.nat(3), (written, where) => {
        const texts = written.map(([bars, end], index) => {
          const isBad = index === where % written.length;
          return `${bars.map(([one, gap]) => one + gap).join('')}${isBad ? '#57#' : ''}1${end}`;
        });
        const bars = texts.join('').replace('#57#', '57 ');
        const before =
          texts
            .join('')
            .split('#57#')[0]
            ?.split(/\r\n|\n/) ?? [];
        const place = { line: before.length, column: [...(before.at(-1) ?? '')].length + 2 };
        expect(faults(bars)[0]).toEqual(place);
      }),
    );
  });
});

describe('a click', () => {
  it.each([
    ['4/4', { beats: 4, unit: 4 }, 'quarter'],
    ['2/2', { beats: 2, unit: 2 }, 'half'],
    ['6/8', { beats: 6, unit: 8 }, 'dotted'],
    ['5/8', { beats: 5, unit: 8 }, 'quarter'],
  ] as const)('in %s is one bar without a chord, whose tempo counts what is felt', (_, meter, count) => {
    const chart = clickChart(meter, 150.5);
    expect(chart.tempo).toEqual({ bpm: 150.5, count });
    const { bars } = unroll(chart);
    expect(bars.map(({ cells }) => cells.map(({ number }) => number))).toEqual([[null]]);
  });
});
