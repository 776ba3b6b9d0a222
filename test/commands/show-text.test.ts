import { expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { showText } from '../../src/commands/show-text.js';

function shown(bars: string): readonly string[] {
  const yaml = `title: T\nkey: C\ntempo: 100\nmeter: 4/4\ncrooked: yes\nsections:\n  V: |\n    ${bars}\n`;
  const read = readChart(new TextEncoder().encode(yaml));
  if (!read.ok) throw new Error(read.faults[0]?.message);
  return showText(read.value, read.value.key, unroll(read.value).bars).slice(5);
}

it('leaves a space between bars, and what stands over them in place', () => {
  expect(shown('(1-. b7. 1/3..) "so" 1- 4')).toEqual([
    '                  "so"',
    '  (1-. b7. 1/3..) 1-              4',
    '  (Cm Bb C/E)     Cm              F',
  ]);
});

it('says how long a short bar is', () => {
  expect(shown('1 (5..) 4')[0]).toBe('  1             (5..)         4');
});

it('says where a ritardando begins and leads to, after the cue of its bar', () => {
  expect(shown('1 @rit=80% "big" 4 5 1 @wait')).toEqual([
    '                "big"',
    '                rit. to 80%                 then stop',
    '  1             4             5             1',
    '  C             F             G             C',
  ]);
});
