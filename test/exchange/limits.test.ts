import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { type LeadSheet, plainBar, type SheetBar } from '../../src/exchange/lead-sheet.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { writtenChart } from '../../src/exchange/written-chart.js';
import { scoreOf } from './score.js';

const head = {
  title: 't',
  by: null,
  key: { tonic: 'C', mode: 'major' },
  meter: { beats: 4, unit: 4 },
  tempo: { bpm: 120, count: 'quarter' },
  form: null,
} as const;

/** A chart made of bars, as it is read again, with what was told. */
function brought(bars: readonly Partial<SheetBar>[], changes: Partial<LeadSheet> = {}) {
  const { chart, remarks } = chartFromSheet({
    ...head,
    bars: bars.map((bar): SheetBar => ({ ...plainBar, ...bar })),
    ...changes,
  });
  const made = writtenChart(chart);
  if (!made.ok) throw new Error(made.fault.message);
  const read = readChart(new TextEncoder().encode(made.value));
  if (!read.ok) throw new Error(read.faults[0]?.message);
  return { text: made.value, chart: read.value, told: remarks.map(({ message }) => message) };
}

function fromAbc(text: string) {
  const [tune] = abcTunes(text);
  if (!tune) throw new Error('no tune');
  return readAbc(tune);
}

describe('what a chart has no sign for', () => {
  it('a repeat of ten thousand times is written with a hundred, and that is told', () => {
    const { text, told } = brought([{ opens: true }, { closes: 10_000 }]);
    expect(text).toContain(':| x100\n');
    expect(told).toEqual(['a repeat that is played 10000 times is written with 100']);
  });

  it('an ending beyond the ninth time loses that time, or its number', () => {
    const { text, told } = brought([
      { opens: true },
      { ending: [1, 9, 10], endsEnding: true, closes: 11 },
      { ending: [11], endsEnding: true },
    ]);
    expect(text).toContain('[1st,9th nc ]');
    expect(told).toEqual([
      'an ending with a number above 9 is written without that number',
      'an ending with a number above 9 is written as plain bars',
    ]);
  });

  it.each([
    ['V  two', ['V  two', 'V  two'], 'form: V two, V two'],
    ['x2', ['x2'], 'form: X2'],
    ['x10000', ['x10000', 'x10000'], 'form: X10000, X10000'],
    ['V', [], 'form: V'],
    ['', [''], 'form: A'],
  ])('a section that is called %j is found in the form', (section, form, line) => {
    expect(brought([{ section }, {}], { form }).text).toContain(`${line}\n`);
  });

  it('a key by its other name is no change', () => {
    const { text } = brought([{}, { key: { tonic: 'Gb', mode: 'major' } }], {
      key: { tonic: 'F#', mode: 'major' },
    });
    expect(text).not.toContain('@key');
  });

  it('an ending for no time is none, and that is told', () => {
    const { sheet, remarks } = fromAbc('X:1\nM:4/4\nL:1/4\nK:C\n|: "C"z4 |0 "G"z4 :|1 "D"z4 ||\n');
    expect(remarks.map(({ message }) => message)).toContain('left out: an ending without a valid number');
    expect(writtenChart(chartFromSheet(sheet).chart)).toHaveProperty('value');
    expect(brought([{ opens: true, ending: [] }, { closes: 2 }]).text).toContain('|: nc nc :|');
  });

  it('a sheet without a bar is not a chart, and says so', () => {
    const { chart } = chartFromSheet(fromAbc('X:1\nT:t\nK:C\n"C""G"\n').sheet);
    expect(writtenChart(chart)).toMatchObject({
      fault: { message: 'it has no bar with any length, so there is nothing to write' },
    });
  });

  it('a chart that would be too long is none, and says so', () => {
    const { chart } = brought([{ cues: ['x'] }]);
    const long = { ...chart, notes: 'x'.repeat(1 << 21) };
    expect(writtenChart(long)).toMatchObject({
      fault: { message: 'no chart can be made of it: the file has 2.0 MiB; a chart can have at most 1 MiB' },
    });
  });
});

describe('many of one thing', () => {
  it('five thousand sections of one name', () => {
    const { chart } = brought(Array.from({ length: 5000 }, () => ({ section: 'V' })));
    expect(chart.sections.at(-1)?.name).toBe('V 5000');
    expect(unroll(chart).bars).toHaveLength(5000);
  });

  it('five thousand repeats that never close are none, each told', () => {
    const { told } = brought(Array.from({ length: 5000 }, () => ({ opens: true })));
    expect(told).toHaveLength(5000);
  });

  it('fifty thousand chords and cues in a bar without end', () => {
    const { sheet, chords } = fromAbc(
      `X:1\nM:4/4\nL:1/4\nK:C\n${`${'"^go""C"z"D"z'.repeat(1000)}\n`.repeat(50)}|\n`,
    );
    expect(chords).toBe(100_000);
    expect(sheet.bars).toHaveLength(1);
    expect(sheet.bars[0]?.chords.slice(0, 2).map(({ at }) => at)).toEqual([0, 1]);
    expect(sheet.bars[0]?.cues).toHaveLength(50_000);
  });

  it('of chords at one place the last counts, in a measure of thirty thousand too', () => {
    const chord = (step: string): string =>
      `<harmony><root><root-step>${step}</root-step></root><kind>major</kind></harmony>`;
    const { sheet } = scoreOf(
      `<score-partwise><part id="P"><measure>${chord('C').repeat(30_000)}${chord('G')}<note><rest/><duration>4</duration></note></measure></part></score-partwise>`,
    );
    expect(sheet.bars[0]?.chords.map((one) => one.chord?.root)).toEqual(['G']);
  });

  it('a tempo with very many lengths is read or refused at once', () => {
    const { remarks } = fromAbc(`X:1\nM:4/4\nQ:1/${'333/'.repeat(60)}3\nK:C\n"C"z4|\n`);
    expect(remarks.map(({ message }) => message).join()).toContain('a tempo that cannot be read');
    expect(fromAbc('X:1\nM:4/4\nQ:1/4 3/8 = 48\nK:C\n"C"z4|\n').sheet.tempo).toEqual({
      bpm: 120,
      count: 'quarter',
    });
  });

  it('what is opened and never closed is left out sign by sign, the chords after it kept', () => {
    const { sheet } = fromAbc(`X:1\nM:4/4\nL:1/4\nK:C\n${'{'.repeat(15_000)}"C"z4|"G"z4|\n`);
    expect(sheet.bars.map(({ chords }) => chords[0]?.chord?.root)).toEqual(['C', 'G']);
  });
});
