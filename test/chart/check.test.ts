import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { bytes, chart, chartOf, faultsOf, headed } from './written.js';

describe('a chart as a whole', () => {
  it.each([
    [
      'a section that no form uses',
      'form: V\nsections:\n  V: 1\n  W: 4\n',
      '6:3 warning section “W” is never used by the form',
    ],
    [
      'a pickup as long as a bar',
      'pickup: 4\nsections:\n  V: 1\n',
      '1:1 error a pickup of 4 beats is a whole bar',
    ],
    [
      'a pickup as long as a bar of 6/8',
      'meter: 6/8\npickup: 2\nsections:\n  V: 1\n',
      '1:1 error a pickup of 2 beats is a whole bar',
    ],
    [
      'bars for the final pass alone',
      'sections:\n  V: "[last 1 4 ]"\n',
      '4:3 error the form plays bars only in its final pass',
    ],
    ['a form of no section', 'form: ""\nsections:\n  V: 1\n', 'error the form plays no bar'],
    [
      'more bars than there are',
      'sections:\n  V: 1 4\n  W: last 3 of V\n',
      '5:3 error section “V” has 2 bars; what is taken from it must be within them',
    ],
    ['no bar', 'sections:\n  V: 1 4\n  W: first 0 of V\n', '5:3 error section “V” has 2 bars'],
    [
      'bars from back to front',
      'sections:\n  V: 1 4\n  W: bars 2-1 of V\n',
      '5:3 error section “V” has 2 bars',
    ],
    [
      'a bar before the first',
      'sections:\n  V: 1 4\n  W: bars 0-1 of V\n',
      '5:3 error section “V” has 2 bars',
    ],
    [
      'a bar behind the last',
      'sections:\n  V: 1 4\n  W: bars 2-3 of V\n',
      '5:3 error section “V” has 2 bars',
    ],
    [
      'dots for another meter, when the form comes to them',
      'form: V, W\nsections:\n  V: 1 @3/4 1\n  W: (1... 5.)\n',
      '6:6 error when the form reaches this bar, 4 dots in a bar of 3/4: 3 would fill it',
    ],
    [
      'an equals sign behind another meter',
      'sections:\n  V: (1... 5.) @3/4 =\n',
      '4:21 error when the form reaches this bar, 4 dots in a bar of 3/4: 3 would fill it',
    ],
  ])('%s', (_, text, fault) => {
    const told = faultsOf(headed(text)).filter(
      (one) => !one.includes('never used') || fault.includes('never used'),
    );
    expect(told).toStrictEqual([expect.stringContaining(fault)]);
  });

  it.each([
    [
      'sections used only by other sections',
      'form: W\nsections:\n  V: 1 4\n  W: last 1 of X\n  X: all of V\n',
    ],
    ['all that there is of a section', 'form: W\nsections:\n  V: "|: 1 4 :|"\n  W: bars 1-4 of V\n'],
    ['bars of the final pass', 'form: V, W\nsections:\n  V: 1 4 [last 5 ]\n  W: last 3 of V\n'],
    ['a pickup shorter than a bar', 'pickup: 3\nsections:\n  V: 1\n'],
    [
      'bars of any length in a crooked chart',
      'crooked: yes\nsections:\n  V: (1.. 4.) @3/4 =\n  W: (1..... 5.)\n',
    ],
  ])('finds nothing wrong with %s', (_, text) => {
    expect(faultsOf(headed(text))).toStrictEqual([]);
  });

  it('refuses more than 10 000 bars at the entry that goes beyond', () => {
    const section = (count: number) => `sections:\n  V: |\n    ${'1 '.repeat(count)}\n`;
    expect(faultsOf(headed(`form: V x100\n${section(100)}`))).toStrictEqual([]);
    expect(faultsOf(headed(`form: V x50, V x51\n${section(100)}`))).toStrictEqual([
      '3:14 error the form has more than 10000 bars from here on; remove some repeats',
    ]);
    expect(faultsOf(headed(`crooked: yes\n${section(10_001)}`))).toStrictEqual([
      expect.stringContaining('more than 10000 bars'),
    ]);
  });
});

describe('a pass before the last', () => {
  it('has a bar to play, or the chart is refused', () => {
    const reading = readChart(bytes(chartOf('[last 1 4 ]')));
    expect(reading.ok && unroll(reading.value).bars).not.toStrictEqual([]);
  });

  it('has bars of the right length, or the chart is refused', () => {
    const reading = readChart(bytes(chartOf('[last @3/4 ] (1. 4. 5.)')));
    expect(reading.ok && unroll(reading.value).fault).toBeFalsy();
  });
});

describe('very many excerpts', () => {
  it('are checked without playing the section through for each', () => {
    const text = headed(
      `form: V\nsections:\n  V: |\n    ${'1 '.repeat(9000)}\n  W: first 1 of V${' + first 1 of V'.repeat(600)}\n`,
    );
    expect(chart(text).sections[1]?.derived).toHaveLength(601);
  });
});
