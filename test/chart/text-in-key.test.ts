import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BarSource, Chart } from '../../src/chart/chart.js';
import { barText, editBar } from '../../src/chart/edit-bar.js';
import { readChart } from '../../src/chart/read.js';
import { textInKey } from '../../src/chart/text-in-key.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { type Key, keyName, parseKey } from '../../src/theory/key.js';
import { pitchClass } from '../../src/theory/pitch.js';
import { generatedPlainChart } from './generated.js';

function read(text: string): Chart | null {
  const reading = readChart(new TextEncoder().encode(text));
  return reading.ok ? reading.value : null;
}

function keyed(name: string): Key {
  const key = parseKey(name);
  if (!key.ok) throw new Error(name);
  return key.value;
}

function inKey(text: string, key: string): string {
  const moved = textInKey(text, read(text) as Chart, keyed(key));
  if (!moved.ok) throw new Error(moved.fault.message);
  return moved.value;
}

/** A chart without its places and its file's remarks: what it says. */
function said(chart: Chart | null): unknown {
  return JSON.parse(
    JSON.stringify(chart, (name, value) => (name === 'place' || name === 'remarks' ? undefined : value)),
  ) as unknown;
}

/** What sounds: roots, qualities and basses by pitch. */
function sounding(chart: Chart, key: Key): readonly string[] {
  return unroll(chart, { key, final: true }).bars.map((bar) =>
    bar.cells
      .map(({ chord }) =>
        chord === null
          ? 'nc'
          : `${pitchClass(chord.root)} ${chord.quality} ${chord.bass === null ? '' : pitchClass(chord.bass)}`,
      )
      .join(','),
  );
}

/** Every written bar of a chart. */
function sources(chart: Chart): BarSource[] {
  return chart.sections.flatMap((section, at) =>
    section.lines.flatMap((line, row) =>
      line.items.filter((item) => item.kind === 'bar').map((_, bar) => ({ section: at, line: row, bar })),
    ),
  );
}

const blanks = fc.constantFrom('', ' ', '  ', '   ');
const remark = fc.constantFrom('# sung low', '#', "# it's “here”: [1st", '#\ttab');

/**
 * A generated chart, without a tune since sections are added at its end, as people leave files: lines of the head in another order, blank lines and remarks between, more spaces, a
 * section in quotes or braces, Windows line ends, a byte order mark, no line end at the end.
 */
const handWritten: fc.Arbitrary<string> = fc
  .record({
    chart: generatedPlainChart,
    seed: fc.array(fc.nat({ max: 1000 }), { minLength: 8, maxLength: 8 }),
    remarks: fc.array(remark, { maxLength: 3 }),
    blank: blanks,
    ends: fc.constantFrom('\n', '\r\n'),
    mark: fc.constantFrom('', '', '\ufeff'),
    closed: fc.boolean(),
    more: fc.constantFrom(
      '',
      '  quoted: "1 4  5 1"\n',
      "  quoted: '1 4   (1 5)'\n",
      '  plain: 1   4 5 1 # kept\n',
    ),
    tabs: fc.boolean(),
  })
  .map(({ chart, seed, remarks, blank, ends, mark, closed, more, tabs }) => {
    const lines = chart.split('\n');
    const cut = lines.indexOf('sections:');
    const head = lines
      .slice(0, cut)
      .map((line, index) => ({ line, order: seed[index % seed.length] as number }))
      .sort((one, other) => one.order - other.order)
      .map(({ line }) =>
        line.replace(/^(key|tempo|form):/, `$1:${blank}`).replace(/(?<=^key: .*)$/, `${blank}# the key`),
      );
    const spaced = head.flatMap((line, index) => [
      ...(index % 3 === 1 ? remarks : []),
      line,
      ...(index % 4 === 2 ? ['', blank] : []),
    ]);
    const bars = lines
      .slice(cut)
      .map((line, index) =>
        tabs && index % 2 === 0 && /^ {4}\S/.test(line) && !/["@|[(;]/.test(line)
          ? line.replace(/(?<=\S) (?=\S)/g, ' \t')
          : line,
      );
    const text = [...spaced, '', ...bars].join('\n').trimEnd() + (more === '' ? '' : `\n${more}`.trimEnd());
    return mark + (closed ? `${text}\n` : text).replace(/\n/g, ends);
  });

describe('textInKey', () => {
  it('changes the value of the key and nothing else', () => {
    const text =
      '# mine\nform:  V ,V\n\nkey:   "G"  # low\ntitle: Key of G\nsections:\n  V: |\n    1   4\t5 1 ; in G\n';
    expect(inKey(text, 'G')).toBe(text);
    expect(inKey(text, 'Bb')).toBe(text.replace('"G"', '"Bb"'));
  });

  it('moves the keys that are named in bars and form, and no others', () => {
    const text =
      'title: T\nkey: G\nsingers:\n  Ansa: A\nform: V, V (banjo , key  D, soft) x2, key D\nsections:\n  V: |\n    "@key=A" 1 @key=A 4 ; @key=A\n    @key=F#m 1- @key+2 1\n  key D: |\n    1\n';
    expect(inKey(text, 'C')).toBe(
      text
        .replace('key: G', 'key: C')
        .replace('key  D', 'key  G')
        .replace('1 @key=A 4', '1 @key=D 4')
        .replace('@key=F#m', '@key=Bm'),
    );
  });

  it('writes other letters in place, bar by bar, with their marks and spaces', () => {
    const text =
      "title: T\nkey: A\nsections:\n  V: |\n    A  F#m7 (A...   E.) 'D~ nc = Bb!  A/C#\n    @key=B B ; A B\n";
    expect(inKey(text, 'C')).toBe(
      text
        .replace('key: A', 'key: C')
        .replace("A  F#m7 (A...   E.) 'D~ nc = Bb!  A/C#", "C  Am7 (C...   G.) 'F~ nc = Db!  C/E")
        .replace('@key=B B ;', '@key=D D ;'),
    );
  });

  it('leaves the names of sections that bars are taken from as they are', () => {
    const text =
      'title: T\nkey: A\nform: C, D, tag\nsections:\n  C: |\n    1 4\n  D: |\n    5\n  tag: |\n    first 1 of C + A @key=D D + A\n    E + all of D + A\n';
    expect(inKey(text, 'C')).toBe(
      text
        .replace('key: A', 'key: C')
        .replace('+ A @key=D D + A\n    E +', '+ C @key=F F + C\n    G +')
        .replace('of D + A\n', 'of D + C\n'),
    );
  });

  it('refuses what is written with escapes', () => {
    const text = 'title: T\nkey: "\\u0047"\nsections:\n  V: |\n    1\n';
    const moved = textInKey(text, read(text) as Chart, keyed('A'));
    expect(moved).toMatchObject({ ok: false, fault: { message: expect.stringContaining('line 2') } });
  });

  it('keeps files as they are, and changes letters and keys alone in another one', () => {
    let charts = 0;
    fc.assert(
      fc.property(handWritten, fc.constantFrom('C', 'F#', 'Bb', 'E', 'Ab'), (text, name) => {
        const chart = read(text);
        if (!chart) return;
        charts += 1;
        expect(textInKey(text, chart, chart.key)).toEqual({ ok: true, value: text });
        const key = keyed(chart.key.mode === 'minor' ? `${name}m` : name);
        const moved = textInKey(text, chart, key);
        if (!moved.ok) throw new Error(moved.fault.message);
        const after = read(moved.value) as Chart;
        expect(keyName(after.key)).toBe(keyName(key));
        expect(sounding(after, key)).toEqual(sounding(chart, key));
        expect(moved.value.split('\n').length).toBe(text.split('\n').length);
        // Without letters and signs, which are all that another key changes, the files are the same.
        const bare = (all: string): string => all.replace(/[A-G][#b]?/g, 'X');
        expect(bare(moved.value)).toBe(bare(text));
      }),
      { numRuns: 200 },
    );
    expect(charts).toBeGreaterThan(100);
  });
});

describe('a chart that was edited by the pencil', () => {
  it('is the same outside the bar, byte for byte, and reads as its tidy form does', () => {
    let edited = 0;
    fc.assert(
      fc.property(
        handWritten,
        fc.nat(),
        fc.constantFrom('5', '2-', '(1 4)', 'nc', "'4~"),
        (text, pick, bar) => {
          const chart = read(text);
          if (!chart) return;
          const all = sources(chart);
          const source = all[pick % all.length] as BarSource;
          const at = barText(text, chart, source);
          const letters = chart.sections[source.section]?.letters === true;
          const wanted = letters
            ? bar.replace(/[1245]/g, (degree) => 'CDEFG'[Number(degree) - 1] as string).replace('-', 'm')
            : bar;
          const result = editBar(text, chart, source, wanted);
          if (!at || !result.ok) return;
          edited += 1;
          const { writtenOut } = result.value;
          const rest = text.slice(at.to);
          expect(result.value.text).toBe(
            text.slice(0, at.from) +
              wanted +
              (writtenOut === null ? rest : rest.replace('=', () => writtenOut)),
          );
          expect(textInKey(result.value.text, result.value.chart, result.value.chart.key)).toEqual({
            ok: true,
            value: result.value.text,
          });
          const tidy = writeChart(result.value.chart);
          expect(said(read(tidy))).toEqual(said(result.value.chart));
        },
      ),
      { numRuns: 200 },
    );
    expect(edited).toBeGreaterThan(120);
  });
});
