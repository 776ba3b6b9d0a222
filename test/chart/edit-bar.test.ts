import { readdirSync, readFileSync } from 'node:fs';
import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BarSource, Chart, PlayedBar } from '../../src/chart/chart.js';
import { barText, editBar } from '../../src/chart/edit-bar.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { writtenLines } from '../../src/chart/written-lines.js';
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
    writtenLines(section).flatMap((items, row) =>
      items.filter((item) => item.kind === 'bar').map((_, bar) => ({ section: at, line: row, bar })),
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

  it.each([
    ['single quotes', "V: '1 4 5 1'"],
    ['double quotes', 'V: "1 4 5 1"'],
    ['no quotes', 'V: 1 4 5 1 # kept'],
  ])('finds them in a section on one line with %s', (_, section) => {
    const source = `${head}sections:\n  ${section}\n`;
    const chart = read(source);
    expect(sources(chart).map((one) => barText(source, chart, one)?.text)).toEqual(['1', '4', '5', '1']);
  });

  it('finds them within braces, without what closes or parts these', () => {
    const source = `${head}sections: {V: 1 4, C: 5 1}\n`;
    const chart = read(source);
    expect(sources(chart).map((one) => barText(source, chart, one)?.text)).toEqual(['1', '4', '5', '1']);
  });

  it('takes no bar for another after a quote that is written twice', () => {
    const source = `${head}sections:\n  V: '1 ''4 ''5 6- 5'\n`;
    const chart = read(source);
    expect(sources(chart).map((one) => barText(source, chart, one)?.text ?? null)).toEqual([
      '1',
      null,
      null,
      null,
      null,
    ]);
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
    [2, '4', plain.replace("'4~ =", "4 '4~")],
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
    ['1 ; x', '“;x” is not a bar; write only bars here, such as 4, (1 5), 6-~ or nc'],
    ['|: 1', '“|:” is not a bar; write only bars here, such as 4, (1 5), 6-~ or nc'],
    ['[1st 5 ]', /write only bars here/],
    ['@3/4 1', /write only bars here/],
    ['"so" 1', /write only bars here/],
    ['x3', '“x3” is not a bar; write only bars here, such as 4, (1 5), 6-~ or nc'],
    ['\\x34', '“\\x34” is not a bar; write only bars here, such as 4, (1 5), 6-~ or nc'],
    ['1\t4', 'a bar is written on one line, without control characters'],
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

  it.each([
    ['V: 1 4 5 1', 1, '4 #5'],
    ['V: 1 4 5 1', 3, '1 #5'],
    ['V: |\n    |: 1 [1st(1 5) ] [2nd 1 ] :|', 1, ',3rd'],
  ])('refuses in %j for bar %i what takes from its neighbours: %s', (section, bar, replacement) => {
    const source = `${head}sections:\n  ${section}\n`;
    const edited = editBar(source, read(source), { section: 0, line: 0, bar }, replacement);
    expect(edited.ok ? [] : edited.faults.map(({ message }) => message)).toEqual([
      'this would change other bars, too; edit the file instead',
    ]);
  });

  it.each([
    ["V: '1 4 5 1'", 3, '4', "V: '1 4 5 4'"],
    ['V: 1 4 5 1', 1, '4 5^7', 'V: 1 4 5^7 5 1'],
    ['V: |\n    1 4 5 1', 1, '4 #5o', 'V: |\n    1 4 #5o 5 1'],
    ['V: |\n    1 4 = =', 1, '(1 4) 5', 'V: |\n    1 (1 4) 5 4 ='],
    ["V: |\n    4 '4 1 =", 2, '1_8', "V: |\n    4 '4 1_8 1"],
    ['V: |\n    1 4 = =', 2, '5', 'V: |\n    1 4 5 4'],
    ['V: |\n    1 4 = 5', 1, '=', 'V: |\n    1 = 4 5'],
    ['V: |\n    1 (1... 5.) ; soft\n    = 5', 1, '4', 'V: |\n    1 4 ; soft\n    (1... 5.) 5'],
    ['V: |\n    1 4 = 5', 1, '4 4', 'V: |\n    1 4 4 = 5'],
  ])('in %j puts for bar %i: %s', (section, bar, replacement, expected) => {
    const source = `${head}sections:\n  ${section}\n`;
    const edited = editBar(source, read(source), { section: 0, line: 0, bar }, replacement);
    expect(edited.ok && edited.value.text).toBe(`${head}sections:\n  ${expected}\n`);
  });

  it('says what the bar after it was written out as', () => {
    const source = `${head}sections:\n  V: 1 4 = 5\n`;
    const edit = (bar: number) => editBar(source, read(source), { section: 0, line: 0, bar }, '1_');
    expect([0, 1, 2, 3].map(edit).map((one) => one.ok && one.value.writtenOut)).toEqual([
      null,
      '4',
      null,
      null,
    ]);
  });

  it('refuses what would change a bar after it that cannot be written out', () => {
    const source = `${head}sections:\n  V: A E @key=D = A\n`;
    const edited = editBar(source, read(source), { section: 0, line: 0, bar: 1 }, 'D');
    expect(edited.ok ? [edited.value.text] : edited.faults.map(({ message }) => message)).toEqual([
      'the next bar is written = and would change, too; edit the file instead',
    ]);
  });

  it('leaves every other bar as it was, whatever is typed and however the section is written', () => {
    const layouts = [
      (bars: string) => `  V: |\n    ${bars}\n    6- = 1\n`,
      (bars: string) => `  V: ${bars}\n  C: 6- = 1\n`,
      (bars: string) => `  V: '${bars.replaceAll("'", "''")}'\n`,
      (bars: string) => `  V: "${bars}"\n`,
      (bars: string) => `  V: |\r\n    |: ${bars} :|\r\n`,
    ];
    const own = fc.constantFrom('1', '4', '(1 5)', '6-', "'5", 'b7', '=');
    const chord = fc.constantFrom('1', '4', '5^7', '6-', 'nc', '(1 4)', "'4~", '#5', '=');
    const sign = fc.constantFrom(...'157b#^-()=.~!\'x3|:,]}@/" ', '\\');
    // Bars as a player types them, sometimes with a slip among them.
    const typed = fc
      .tuple(fc.array(chord, { minLength: 1, maxLength: 2 }), fc.option(sign), fc.nat(8))
      .map(([chords, slip, place]) => {
        const text = chords.join(' ');
        return text.slice(0, place) + (slip ?? '') + text.slice(place);
      });
    let taken = 0;
    fc.assert(
      fc.property(
        fc.array(own, { minLength: 1, maxLength: 5 }),
        fc.constantFrom(' ', '  ', ''),
        fc.constantFrom(...layouts),
        fc.nat(5),
        typed,
        (words, gap, layout, pick, replacement) => {
          const source = `${head}sections:\n${layout(['1', ...words].join(gap))}`;
          const before = readChart(new TextEncoder().encode(source));
          if (!before.ok) return;
          const all = sources(before.value);
          const at = pick % all.length;
          const one = all[at] as BarSource;
          const found = barText(source, before.value, one);
          const edited = editBar(source, before.value, one, replacement);
          if (!edited.ok) {
            expect(edited.faults[0]?.message).toMatch(/./);
            return;
          }
          taken += 1;
          const rest = source.slice(found?.to);
          const { writtenOut } = edited.value;
          expect(edited.value.text).toBe(
            source.slice(0, found?.from) +
              replacement +
              (writtenOut === null ? rest : rest.replace('=', () => writtenOut)),
          );
          const old = written(before.value);
          const now = written(edited.value.chart);
          expect(now.slice(0, at)).toEqual(old.slice(0, at));
          const behind = old.length - at - 1;
          expect(now.slice(now.length - behind)).toEqual(old.slice(at + 1));
        },
      ),
      { numRuns: 1000 },
    );
    // Not so many are refused that nothing is looked at.
    expect(taken).toBeGreaterThan(50);
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
      if (!own) throw new Error(`no text for ${JSON.stringify(one)}`);
      const same = editBar(source, demo, one, own.text);
      expect(same.ok && same.value.text).toBe(source);
      const changed = editBar(source, demo, one, 'nc');
      if (!changed.ok) throw new Error(changed.faults[0]?.message);
      const rest = source.slice(own.to);
      const { writtenOut } = changed.value;
      expect(changed.value.text).toBe(
        `${source.slice(0, own.from)}nc${writtenOut === null ? rest : rest.replace('=', writtenOut)}`,
      );
      const after = unroll(changed.value.chart).bars;
      const expected = before.map((bar) => (isDeepStrictEqual(bar.source, one) ? ['nc'] : chordsOf(bar)));
      expect(after.map(chordsOf)).toEqual(expected);
    }
  });
});

/** What every bar of a chart plays. */
function written(chart: Chart): string[] {
  return chart.sections.flatMap((section) =>
    section.lines.flatMap((line) =>
      line.items.flatMap((item) => (item.kind === 'bar' ? [JSON.stringify(item.cells)] : [])),
    ),
  );
}

function chordsOf({ cells }: PlayedBar): string[] {
  return cells.map(({ number }) => (number ? numberText(number) : 'nc'));
}

describe('a bar between pieces of other sections', () => {
  const pieces = `${head}form: V, tag\nsections:\n  V: |\n    1 @sign 4 5 1 @fine\n  tag: |\n    first 1 of V + 5 (4 5)\n    1 + last 1 of V\n    + 5 1~\n`;

  it('is found in the line it stands in', () => {
    const chart = read(pieces);
    const own = sources(chart).filter(({ section }) => section === 1);
    expect(own).toStrictEqual([
      { section: 1, line: 1, bar: 0 },
      { section: 1, line: 1, bar: 1 },
      { section: 1, line: 1, bar: 2 },
      { section: 1, line: 3, bar: 0 },
      { section: 1, line: 3, bar: 1 },
    ]);
    expect(own.map((source) => barText(pieces, chart, source)?.text)).toStrictEqual([
      '5',
      '(4 5)',
      '1',
      '5',
      '1~',
    ]);
  });

  it('is rewritten, and nothing else', () => {
    const edited = editBar(pieces, read(pieces), { section: 1, line: 1, bar: 2 }, '6- 2-');
    if (!edited.ok) throw new Error(edited.faults[0]?.message);
    expect(edited.value.text).toBe(pieces.replace('    1 + last', '    6- 2- + last'));
  });

  it.each(['+', '5 + 1', '5 + all of V', 'first 2 of V', '@fine'])('%s is refused in its place', (text) => {
    expect(editBar(pieces, read(pieces), { section: 1, line: 1, bar: 0 }, text).ok).toBe(false);
  });
});
