import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { writtenCues } from '../../src/chart/tune/tune-cues.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import type { LeadSheet } from '../../src/exchange/lead-sheet.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import type { Chord } from '../../src/theory/chord.js';
import { pitchClass } from '../../src/theory/pitch.js';
import { generatedChart } from '../chart/generated.js';
import { scoreOf } from './score.js';

function read(text: string): Chart {
  const reading = readChart(new TextEncoder().encode(text));
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return reading.value;
}

/** A chord by its sound: pitch classes of root and bass, and the quality. */
function sound({ root, quality, bass }: Chord): string {
  return `${pitchClass(root)} ${quality}${bass === null ? '' : ` over ${pitchClass(bass)}`}`;
}

/** The bars of the last pass as they are played: beats, and each chord with its place. */
function bars(chart: Chart): string[] {
  return unroll(chart, { final: true }).bars.map(({ beats, cells, meter, key, tempo }) => {
    // A chord that is the one before goes on: formats tell changes, not strokes.
    // Spelling is the key's affair: a lowered 1 comes back as a 7.
    const chords = cells.map(({ chord, at }) => `${at.toFixed(3)} ${chord ? sound(chord) : 'nc'}`);
    const head = `${meter.beats}/${meter.unit} ${pitchClass(key.tonic)} ${key.mode} ${tempo.count}=${tempo.bpm}`;
    return `${head} ${beats.toFixed(3)}: ${chords.join(', ')}`;
  });
}

/** What is said over the bars of the last pass: words of phrases and cues that are written, spaces aside. */
function said(chart: Chart): string[][] {
  const plain = (texts: readonly string[]): string[] =>
    texts.map((text) => text.replace(/\s+/g, ' ').trim()).filter((text) => text !== '');
  return unroll(chart, { final: true }).bars.map((bar) => [
    ...plain(bar.words ?? []).map((text) => `> ${text}`),
    ...plain(writtenCues(bar)),
  ]);
}

/** What lead sheets cannot say: that a bar shorter than its meter at the beginning is not a pick-up, where another could make it full. */
function isSayable(chart: Chart): boolean {
  const { sheet } = sheetFromChart(chart, chart.key);
  let meter = sheet.meter;
  const left = sheet.bars.map((bar) => {
    meter = bar.meter ?? meter;
    return (4 * meter.beats) / meter.unit - bar.length;
  });
  return sheet.bars.every((bar, index) => {
    const before = sheet.bars[index - 1];
    const begins = bar.opens || bar.section !== null || before?.closes != null || before?.endsEnding === true;
    const makesFull = (missing: number): boolean => Math.abs(missing - bar.length) < 1e-6;
    return (left[index] ?? 0) < 1e-6 || (index > 0 && !(begins && left.some(makesFull)));
  });
}

/** Cues that a tune gives are worked out again wherever a chart is read; what is written is what must come back. */
const sayable = generatedChart
  .map(read)
  .map(({ cues: _, ...chart }): Chart => chart)
  .filter(isSayable);

const byAbc = (sheet: LeadSheet): LeadSheet => {
  const [tune] = abcTunes(abcText(sheet));
  if (!tune) throw new Error('no tune');
  return readAbc(tune).sheet;
};
const byScore = (sheet: LeadSheet, form: string): LeadSheet => scoreOf(musicXml(sheet, { form })).sheet;

describe('out and in again', () => {
  it.each(['ABC', 'MusicXML'])(
    'by %s a chart has the same bars and chords, key, meter and tempo',
    (format) => {
      fc.assert(
        fc.property(sayable, (chart) => {
          const { sheet } = sheetFromChart(chart, chart.key);
          const form = sheet.form?.join(', ') ?? '';
          const back = chartFromSheet(format === 'ABC' ? byAbc(sheet) : byScore(sheet, form)).chart;
          expect(bars(back)).toEqual(bars(chart));
          // What was made is a chart like any other: it is written, and read again.
          expect(bars(read(writeChart(back)))).toEqual(bars(chart));
        }),
        { numRuns: 200 },
      );
    },
  );

  it.each(['ABC', 'MusicXML'])('by %s words stay with their phrases and cues with their bars', (format) => {
    fc.assert(
      fc.property(sayable, (chart) => {
        const { sheet } = sheetFromChart(chart, chart.key);
        const form = sheet.form?.join(', ') ?? '';
        const back = chartFromSheet(format === 'ABC' ? byAbc(sheet) : byScore(sheet, form)).chart;
        expect(said(read(writeChart(back)))).toEqual(said(chart));
      }),
      { numRuns: 200 },
    );
  });

  it('by either, a ritardando that the coda leaves early is one, and no cue', () => {
    const chart = read(
      'title: T\nkey: A\ntempo: 200\nform: V, C, from sign to coda, V (key Bb)\nsections:\n  V: |\n    @sign 1 4\n  C: |\n    @rit=85% 1 @to-coda 1\n    |: 1 4 1 5 1 4 1 5 1 4 1 5 1 4 1 5 1 4 1 5 :|\n',
    );
    const { sheet } = sheetFromChart(chart, chart.key);
    for (const back of [byAbc(sheet), byScore(sheet, '')])
      expect(said(read(writeChart(chartFromSheet(back).chart)))).toEqual(said(chart));
  });

  it('by either, verses of a section that is taken from others stay with the time that they are sung', () => {
    const chart = read(
      'title: T\nkey: A\ntempo: 200\nform: V, tag x2, V\nsections:\n  V: |\n    > 1. one\n    > all\n    > 3. three\n    > 4. four\n    |: 1 4 :|\n  tag: |\n    all of V + 5\n',
    );
    const { sheet } = sheetFromChart(chart, chart.key);
    expect(said(chart).flat()).toEqual(
      [1, 2, 1, 2, 3, 4, 3, 4].flatMap((time) =>
        ['one', 'all', 'three', 'four'].flatMap((word, index) =>
          word === 'all' || index + 1 === time ? [`> ${word}`] : [],
        ),
      ),
    );
    for (const back of [byAbc(sheet), byScore(sheet, sheet.form?.join(', ') ?? '')])
      expect(said(read(writeChart(chartFromSheet(back).chart)))).toEqual(said(chart));
  });

  it('by either, long words and cues with signs of the formats come back whole', () => {
    const long = 'the river took the mill road down and left the ferry rope a-hanging '.repeat(6).trim();
    const text = `title: T\nkey: G\ntempo: 120\nsections:\n  A: |\n    > 1. "${long}"; 50% [low] \\ &amp; > on\n    > 水車 cafe\u0301\n    "50% [x] \\ &lt; ${long}" "> up" 1 4 5 1\n`;
    const chart = read(text);
    const { sheet } = sheetFromChart(chart, chart.key);
    for (const back of [byAbc(sheet), byScore(sheet, '')]) {
      expect(said(read(writeChart(chartFromSheet(back).chart)))).toEqual(said(chart));
      const [section] = chartFromSheet(back).chart.sections;
      expect(section?.lines.map(({ words }) => words)).toEqual(
        chart.sections[0]?.lines.map(({ words }) => words),
      );
    }
  });

  it.each(['Em', 'F#m', 'Ebm', 'G#m', 'A', 'Db'])(
    'by either, bars of broken beats and short beginnings stay, in %s',
    (key) => {
      const chart = read(
        `title: T\nkey: ${key}\ntempo: 120\ncrooked: yes\nform: A, B\nsections:\n  A: |\n    1- @7/8 4- @4/4 5 @5/8 1- @4/4 4\n  B: |\n    (1-.) 4- 5\n`,
      );
      const { sheet } = sheetFromChart(chart, chart.key);
      for (const back of [byAbc(sheet), byScore(sheet, 'A, B')])
        expect(bars(read(writeChart(chartFromSheet(back).chart)))).toEqual(bars(chart));
    },
  );

  it('by either, it has its repeats and endings as they were written', () => {
    const text =
      'title: T\nkey: G\ntempo: 120\nsections:\n  A: |\n    |: 1 4 [1st 5 5 ] [2nd,3rd 5 1 ] :|\n    |: 6- 2- :| x3\n';
    const chart = read(text);
    const { sheet } = sheetFromChart(chart, chart.key);
    for (const back of [byAbc(sheet), byScore(sheet, '')]) {
      const again = chartFromSheet(back).chart;
      expect(bars(again)).toEqual(bars(chart));
      const items = again.sections.flatMap(({ lines }) =>
        lines.flatMap((line) => line.items.map(({ kind }) => kind)),
      );
      expect(items.filter((kind) => kind === 'ending-open')).toHaveLength(2);
      expect(items.filter((kind) => kind === 'repeat-open')).toHaveLength(2);
    }
  });
});
