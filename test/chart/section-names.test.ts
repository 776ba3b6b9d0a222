import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { SectionNames } from '../../src/chart/section-names.js';

describe('SectionNames', () => {
  it.each([
    [
      ['V', 'V', 'V'],
      ['V', 'V 2', 'V 3'],
    ],
    [
      ['V 2', 'V', 'V'],
      ['V 2', 'V', 'V 3'],
    ],
    [['V  \t two'], ['V two']],
    [
      ['x2', 'x10000', 'x2'],
      ['X2', 'X10000', 'X2 2'],
    ],
    [['V x3'], ['V X3']],
    [['ax2 x2b'], ['ax2 x2b']],
    [
      ['', '', '1. Teil'],
      ['A', 'B', 'S 1 Teil'],
    ],
    [['[verse: "one"]'], ['verse one']],
  ])('of %j are %j', (called, names) => {
    const made = new SectionNames();
    expect(called.map((one) => made.next(one))).toEqual(names);
  });

  it('are found without trying the numbers before: fifty thousand of one name', () => {
    const made = new SectionNames();
    const names = Array.from({ length: 50_000 }, () => made.next('V'));
    expect(names.at(-1)).toBe('V 50000');
    expect(new Set(names).size).toBe(50_000);
  });

  it('are read as sections and in the form, whatever they were called', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.string(), fc.constantFrom('x2', 'V  x3', 'all of V', '𝄞'.repeat(40))), {
          minLength: 1,
          maxLength: 8,
        }),
        (called) => {
          const made = new SectionNames();
          const names = called.map((one) => made.next(one));
          const text = `title: t\nkey: A\nform: ${names.join(', ')}\nsections:\n${names.map((name) => `  ${name}: |\n    1 1\n`).join('')}`;
          const read = readChart(new TextEncoder().encode(text));
          if (!read.ok) throw new Error(`${read.faults[0]?.message}\n${text}`);
          expect(read.value.form.map(({ section, times }) => [section, times])).toEqual(
            names.map((name) => [name, 1]),
          );
        },
      ),
    );
  });
});
