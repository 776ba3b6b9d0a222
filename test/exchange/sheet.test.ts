import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { printedSheet } from '../../src/exchange/sheet.js';
import { sheetPdf } from '../../src/exchange/sheet-pdf.js';
import { sheetText } from '../../src/exchange/sheet-text.js';
import { changesOf } from '../../src/hand/changes.js';
import { instruments } from '../../src/hand/instrument.js';
import { planHand } from '../../src/hand/plan.js';
import { generatedChart } from '../chart/generated.js';
import { demoChart, keyOf, mandolin } from '../ui/model.js';

function sheetOf(chart: ReturnType<typeof demoChart>, key = chart.key) {
  const plan = planHand(changesOf(unroll(chart, { key, final: true }).bars), mandolin);
  return printedSheet({ chart, key, bpm: chart.tempo.bpm, instrument: mandolin, plan });
}

const font = (name: string): Uint8Array =>
  readFileSync(createRequire(import.meta.url).resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`));
const fonts = { regular: font('DejaVuSans'), bold: font('DejaVuSans-Bold') };
const usual = { paper: 'A4', large: false, leftHanded: false, blank: null, fonts } as const;

/** The pages of a document, and what it says of itself. */
function told(pdf: Uint8Array) {
  const text = Buffer.from(pdf).toString('latin1');
  return {
    pages: text.match(/\/Type \/Page\b/g)?.length ?? 0,
    size: /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(text)?.slice(1).map(Number),
    fonts: text.match(/\/FontFile2/g)?.length ?? 0,
    unicode: text.match(/\/ToUnicode/g)?.length ?? 0,
    text,
  };
}

describe('marks on a line of their own', () => {
  it('belong to the next bar, or to the one before', () => {
    const yaml = `title: Own Lines
key: G
tempo: 100
meter: 4/4
sections:
  A: |
    |:
    1 4 5 1
    :| x3
    1 4 5 1
  B: |
    1 4 5 1
    @wait
    @rit=80%
    "big"
    1 5 1 1_
`;
    const read = readChart(new TextEncoder().encode(yaml));
    if (!read.ok) throw new Error(read.faults[0]?.message);
    const [a, b] = sheetOf(read.value).sections;
    expect(a?.rows.map((row) => row.map(({ opens, closes }) => [opens, closes]))).toEqual([
      [
        [true, null],
        [false, null],
        [false, null],
        [false, 3],
      ],
      [
        [false, null],
        [false, null],
        [false, null],
        [false, null],
      ],
    ]);
    expect(b?.rows.map((row) => row.map(({ over }) => over))).toEqual([
      [[], [], [], ['then stop']],
      [['rit. to 80%', 'big'], [], [], []],
    ]);
  });
});

describe('a sheet as text', () => {
  it('says what a tempo is, and how long a short bar', () => {
    const yaml =
      'title: T\nkey: G\ntempo: 100\nmeter: 4/4\ncrooked: yes\nsections:\n  A: 1 (5..) @tempo=80 4 1\n';
    const read = readChart(new TextEncoder().encode(yaml));
    if (!read.ok) throw new Error(read.faults[0]?.message);
    expect(sheetText(sheetOf(read.value)).split('\n')).toEqual(
      expect.arrayContaining([
        expect.stringMatching(/^ +tempo 80$/),
        expect.stringMatching(/^ {2}1 +\(5\.\.\) +4/),
      ]),
    );
  });

  it('has bars with numbers and chords, shapes, changes, right hand and capo', () => {
    expect(sheetText(sheetOf(demoChart('weir-hands'), keyOf('A')))).toBe(`Weir Hands
key A   252 ♩   4/4
form: kickoff (banjo), V, break (fiddle), V, break (me), V, break (banjo), V
Guitar: capo 2, shapes of G. Banjo: capo 2, fifth string at 7.
An eight-bar form that goes round and round. Fast.

kickoff (banjo)
  1         1         5         1
  A         A         E         A

V
  1         1         4         4
  A         A         D         D
  1         1         5         1
  A         A         E         A

break: as V

Shapes (G D A E, bass side first)
  1      A       9-7-4-5      little ring index middle
  5      E       9-6-7-x      little middle ring -
  4      D       7-4-5-x      ring index middle -

Changes (* the hardest)
    1 to 5: little stays; middle to the D course, one fret toward the bridge; ring to the A course; index lifts
    5 to 1: little stays; middle to the E course, one fret toward the nut; ring to the D course; index lands on the A course
    1 to 4: same frets, one course to the bass side; little lifts
    4 to 1: same frets, one course to the treble side; little lands on the G course

Right hand, low-chop: 1 low · 2 chop · 3 low · 4 chop
Marks: ' early   ~ let it ring   ! choked stop
`);
  });

  it('names courses where pitch does not follow place', () => {
    const ukulele = instruments.find(({ id }) => id === 'ukulele') as typeof mandolin;
    const chart = demoChart('weir-hands');
    const plan = planHand(changesOf(unroll(chart, { key: keyOf('C'), final: true }).bars), ukulele);
    const text = sheetText(printedSheet({ chart, key: keyOf('C'), bpm: 120, instrument: ukulele, plan }));
    expect(text).toContain('Shapes (G C E A, G course first)');
    expect(text).not.toContain('bass');
  });

  it('leaves chords or shapes blank, with the answers at the end', () => {
    const sheet = sheetOf(demoChart('weir-hands'));
    const chords = sheetText(sheet, 'chords');
    expect(chords).toContain('  1         1         4         4\n  ____      ____      ____      ____\n');
    expect(chords).toContain('  4      ____    9-6-7-x');
    expect(chords.slice(chords.indexOf('Answers'))).toContain('4      E       9-6-7-x');
    const shapes = sheetText(sheet, 'shapes');
    expect(shapes.slice(0, shapes.indexOf('Answers'))).not.toContain('9-6-7-x');
    expect(shapes.slice(shapes.indexOf('Answers'))).toContain('9-6-7-x');
  });

  it('has repeats, endings, cues, changes and shared bars as they are written', () => {
    const read = readChart(
      new TextEncoder().encode(
        'title: T\nkey: G\ntempo: 120\nsections:\n  A: |\n    |: 1 (4... 5.) [1st 5~ ] :| [2nd "stop" 1! ]\n    @3/4 \'4 @key+2 1\n',
      ),
    );
    if (!read.ok) throw new Error('no chart');
    const text = sheetText(sheetOf(read.value));
    // A change of key or meter makes it depend on where a section stands: it is written out as it is played.
    expect(text).toContain('3/4');
    expect(text).toContain('key A');
    const plain = readChart(
      new TextEncoder().encode(
        'title: T\nkey: G\ntempo: 120\nsections:\n  A: |\n    |: 1 (4... 5.) [1st 5~ ] :| [2nd "stop" 1! ]\n',
      ),
    );
    if (!plain.ok) throw new Error('no chart');
    expect(sheetText(sheetOf(plain.value))).toContain('|: 1');
    expect(sheetText(sheetOf(plain.value))).toMatch(/\(4\.\.\.\s5\*?\.\) +\[1\. 5~ \] :\| +\[2\. 1! \]/);
    expect(sheetText(sheetOf(plain.value))).toContain('stop');
  });
});

const worded = readChart(
  new TextEncoder().encode(
    `title: T\nkey: G\ntempo: 120\nsections:\n  V: |\n    > 1. ${'the river took the mill road down '.repeat(4).trim()}\n    > 2. and up\n    "in" "soft" 1 4 5 "a cue that is longer than the bar it stands over" 1\n    1 4 5 1\n  B: last 2 of V\n  E: |\n    > changed\n    @key+2 1 4\n`,
  ),
);

describe('words and cues on a sheet', () => {
  it('stand over their bars as text, wrapped, each a line of its own', () => {
    if (!worded.ok) throw new Error('a fault');
    const { sections, form } = worded.value;
    const chart = { ...worded.value, sections: sections.slice(0, 2), form: form.slice(0, 2) };
    expect(sheetText(sheetOf(chart)).split('\n').slice(4, 14)).toEqual([
      '',
      'V',
      '  1. the river took the mill road down the river took the mill road down the',
      '    river took the mill road down the river took the mill road down',
      '  2. and up',
      '  in                            a cue that is longer than the bar it stands',
      '  soft                            over',
      '  1         4         5         1',
      '  G         C         D         G',
      '  1         4         5         1',
    ]);
  });

  it('stand in the pass as it is played, each verse in its time', () => {
    const written = [
      { section: 'V', times: 2, who: null, pattern: null, place: { line: 1, column: 1 } },
      { section: 'E', times: 1, who: null, pattern: null, place: { line: 1, column: 1 } },
    ];
    const sheet = sheetOf({ ...(worded.ok ? worded.value : demoChart('weir-hands')), form: written });
    // A section that depends on where it stands has the pass written out.
    const words = sheet.sections.map(({ rows }) => rows.flat().flatMap((bar) => bar.words ?? []));
    expect(words.map((own) => own.map((text) => text.slice(0, 9)))).toEqual([
      ['the river'],
      ['and up'],
      ['changed'],
    ]);
  });

  it('are never wider than the page, and words stay with their bars', async () => {
    if (!worded.ok) throw new Error('a fault');
    const sheet = sheetOf(worded.value);
    const many = Array.from({ length: 40 }, (_, index) =>
      sheet.sections.map((one) => ({ ...one, name: `V${index}` })),
    );
    const pages = told(await sheetPdf([{ ...sheet, sections: many.flat() }], usual)).pages;
    const bare = many.flat().map((one) => ({
      ...one,
      rows: one.rows.map((row) => row.map(({ words: _, ...bar }) => bar)),
    }));
    const without = told(await sheetPdf([{ ...sheet, sections: bare }], usual)).pages;
    expect(pages).toBeGreaterThan(without);
  });
});

describe('a sheet as PDF', () => {
  it('has its fonts in it, and text that can be taken out', async () => {
    const {
      pages,
      size,
      fonts: embedded,
      unicode,
    } = told(await sheetPdf([sheetOf(demoChart('weir-hands'))], usual));
    expect(pages).toBe(1);
    expect(size?.map(Math.round)).toEqual([595, 842]);
    expect(embedded).toBe(2);
    expect(unicode).toBe(2);
  });

  it('is as large as letter paper where that is asked for, and has more pages in large print', async () => {
    const sheets = ['nine-barges-late', 'copperwort-lane', 'osier-and-twine'].map((name) =>
      sheetOf(demoChart(name)),
    );
    const small = told(await sheetPdf(sheets, { ...usual, paper: 'letter' }));
    expect(small.size).toEqual([612, 792]);
    const large = told(await sheetPdf(sheets, { ...usual, large: true }));
    expect(large.pages).toBeGreaterThan(small.pages);
  });

  it('of a set begins with its order, has each song on pages of its own, and the answers last', async () => {
    const sheets = ['weir-hands', 'tollhouse-kettle'].map((name) => sheetOf(demoChart(name)));
    const lines = sheets.map(({ title, key }) => ({ title, key, about: '', notes: 'capo check' }));
    const order = { title: 'Set', date: null, lines };
    const plain = told(await sheetPdf(sheets, usual, order));
    const blank = told(await sheetPdf(sheets, { ...usual, blank: 'shapes' }, order));
    expect(plain.pages).toBe(3);
    expect(blank.pages).toBe(4);
  });

  it('of any chart is made, in any of its ways', async () => {
    await fc.assert(
      fc.asyncProperty(
        generatedChart,
        fc.boolean(),
        fc.constantFrom(null, 'chords' as const, 'shapes' as const),
        async (text, large, blank) => {
          const read = readChart(new TextEncoder().encode(text));
          if (!read.ok) throw new Error('the chart does not read');
          const sheet = sheetOf(read.value);
          const pdf = await sheetPdf([sheet], { ...usual, large, blank, leftHanded: large });
          expect(told(pdf).pages).toBeGreaterThanOrEqual(blank === null ? 1 : 2);
          expect(sheetText(sheet, blank).split('\n').length).toBeGreaterThan(8);
        },
      ),
      { numRuns: 40 },
    );
  }, 60_000);
});
