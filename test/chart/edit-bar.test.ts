import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { BarSource, Chart } from '../../src/chart/chart.js';
import { barText, editBar } from '../../src/chart/edit-bar.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { numberText } from '../../src/theory/number.js';

function read(text: string): Chart {
  const reading = readChart(new TextEncoder().encode(text));
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return reading.value;
}

const head = 'title: Ferry Bell\nkey: A\ntempo: 120\nmeter: 4/4\n';
const plain = `${head}# kept\nsections:\n  V: |\n    1  (1... 5.) "all in" '4~ = ; soft, then loud\n    6- 5^7 nc 1!\n`;

/** Every written bar of a chart. */
function sources(chart: Chart): BarSource[] {
  return chart.sections.flatMap((section, at) =>
    section.lines.flatMap((line, row) =>
      line.items.filter((item) => item.kind === 'bar').map((_, bar) => ({ section: at, line: row, bar })),
    ),
  );
}

describe('barText', () => {
  it('finds every bar as it is written', () => {
    const chart = read(plain);
    expect(sources(chart).map((source) => barText(plain, chart, source)?.text)).toEqual([
      '1',
      '(1... 5.)',
      "'4~",
      '=',
      '6-',
      '5^7',
      'nc',
      '1!',
    ]);
  });

  it.each([
    ['Windows line ends', plain.replace(/\n/g, '\r\n')],
    ['a byte order mark', `\ufeff${plain}`],
    ['characters outside the basic plane before it', plain.replace('"all in"', '"𝄞 all 🎻 in"')],
    [
      'letters',
      plain
        .replace('1  (1... 5.) "all in" \'4~ =', 'A  (A... E.) "all in" \'D~ =')
        .replace('6- 5^7 nc 1!', 'F#m E7 nc A!'),
    ],
  ])('finds them with %s', (_, source) => {
    const chart = read(source);
    for (const one of sources(chart)) {
      const found = barText(source, chart, one);
      expect(found && source.slice(found.from, found.to)).toBe(found?.text);
      expect(found?.text).toMatch(/^['(=A-G1-7n]/);
    }
  });

  it('has none in a section within quotes, whose places are not its characters', () => {
    const quotedText = `${head}sections:\n  V: "\\u0031 4 5 1"\n`;
    const chart = read(quotedText);
    expect(barText(quotedText, chart, { section: 0, line: 0, bar: 0 })).toBeNull();
    expect(barText(plain, read(plain), { section: 0, line: 0, bar: 9 })).toBeNull();
  });
});

describe('editBar', () => {
  const chart = read(plain);
  const at = (bar: number, replacement: string) =>
    editBar(plain, chart, { section: 0, line: 0, bar }, replacement);

  it.each([
    [0, '4', plain.replace('    1  (', '    4  (')],
    [0, '1 4', plain.replace('    1  (', '    1 4  (')],
    [1, '(4 1)', plain.replace('(1... 5.)', '(4 1)')],
    [2, '4', plain.replace("'4~", '4')],
    [3, '5/7', plain.replace('~ = ;', '~ 5/7 ;')],
  ])('puts bar %i: %s', (bar, replacement, expected) => {
    const edited = at(bar, replacement);
    expect(edited.ok && edited.value.text).toBe(expected);
  });

  it.each([
    ['', 'an empty bar; a bar without a chord is written nc'],
    ['57', '“57” can be read two ways: two bars are written “5 7”, one chord “5^7”'],
    ['8', /degree/],
    ['(1 4', 'a shared bar is written (1 4), with both brackets'],
    ['1 4)', 'a shared bar is written (1 4), with both brackets'],
    ['1 ; x', 'only bars are written here, such as 4, (1 5), 6-~ or nc; “;x” is none'],
    ['|: 1', 'only bars are written here, such as 4, (1 5), 6-~ or nc; “|:” is none'],
    ['[1st 5 ]', /only bars are written here/],
    ['@3/4 1', /only bars are written here/],
    ['"so" 1', /only bars are written here/],
    ['1\n4', 'a bar is written on one line, without control characters'],
    ['A', /letter/],
  ])('refuses %j', (replacement, sentence) => {
    const edited = at(0, replacement);
    if (edited.ok) throw new Error('it was taken');
    if (typeof sentence === 'string') expect(edited.faults[0]?.message).toBe(sentence);
    else expect(edited.faults[0]?.message).toMatch(sentence);
  });

  it('keeps repeats and endings round the bar', () => {
    const repeated = `${head}sections:\n  V: |\n    |: 1 1 [1st 5 ] [2nd nc ] :| x2\n`;
    const second = editBar(repeated, read(repeated), { section: 0, line: 0, bar: 2 }, '2^7');
    expect(second.ok && second.value.text).toBe(repeated.replace('[1st 5 ]', '[1st 2^7 ]'));
  });

  const demos = readdirSync(new URL('../../charts/', import.meta.url)).filter(
    (name) => name.endsWith('.yaml') && !name.includes('gathering'),
  );
  it.each(demos)('changes one bar of %s and no other', (name) => {
    const source = readFileSync(new URL(`../../charts/${name}`, import.meta.url), 'utf8');
    const demo = read(source);
    const before = unroll(demo).bars;
    for (const one of sources(demo)) {
      const own = barText(source, demo, one);
      const same = editBar(source, demo, one, own?.text ?? '');
      expect(same.ok && same.value.text).toBe(source);
      const changed = editBar(source, demo, one, 'nc');
      if (!changed.ok) throw new Error(changed.faults[0]?.message);
      const after = unroll(changed.value.chart).bars;
      expect(after).toHaveLength(before.length);
      after.forEach((bar, index) => {
        const { section, line, bar: place } = (before[index] as (typeof before)[number]).source;
        if (section === one.section && line === one.line && place === one.bar)
          expect(bar.cells.map((cell) => cell.number)).toEqual([null]);
        // A bar written `=` follows the one before it.
        else if (bar.cells[0]?.number !== null)
          expect(bar.cells.map((cell) => cell.number && numberText(cell.number))).toEqual(
            before[index]?.cells.map((cell) => cell.number && numberText(cell.number)),
          );
      });
    }
  });
});
