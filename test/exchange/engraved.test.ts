import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Chart, meterText, quartersPerBeat } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chordName } from '../../src/theory/chord.js';
import { type Key, keySignature } from '../../src/theory/key.js';
import { generatedChart } from '../chart/generated.js';
import { type Engraved, type EngravedMeasure, engraved } from './engraved.js';

const charts = new URL('../../charts/', import.meta.url);
const demos = readdirSync(charts).filter((name) => name.endsWith('.yaml') && !name.includes('gathering'));

function chartOf(text: string): Chart {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  return read.value;
}

const score = (chart: Chart, key: Key = chart.key): Engraved =>
  engraved(musicXml(sheetFromChart(chart, key).sheet));
const tune = (chart: Chart, key: Key = chart.key): Engraved =>
  engraved(abcText(sheetFromChart(chart, key).sheet));

/**
 * What the library says of its own limits in ABC, and no more: it takes the first tempo only, orders no parts, places no words
 * above, and keeps the signature of the head where the key changes.
 */
const limits = [
  '[Warning] ABC import: Tempo definitions are not fully supported yet',
  '[Warning] ABC import: Information field P is ignored',
  '[Warning] ABC import: Annotations are not fully support yet',
];

/** A form with each section once, as a score has them: where there is a way through them, all in one, else each by itself. */
function onceEach({ form }: Chart): Chart['form'][] {
  const word = form.findIndex(({ way }) => way);
  const once = form.flatMap((entry, index) =>
    entry.way || form.slice(0, index).some(({ section }) => section === entry.section)
      ? []
      : [{ ...entry, times: 1 }],
  );
  const way = form[word];
  if (!way) return once.map((entry) => [entry]);
  const at = once.findIndex(({ section }) => section === form[word - 1]?.section);
  return [once.toSpliced(at + 1, 0, way)];
}

/** The bars of a chart, each section once and as it is played: chords by name, with their places in quarters. */
function played(chart: Chart, key: Key): { chords: string[]; at: number[]; length: number; head: string }[] {
  const writtenOut = sheetFromChart(chart, key).sheet.form === null;
  const passes = writtenOut ? [chart.form] : onceEach(chart);
  return passes.flatMap((form) =>
    unroll({ ...chart, form }, { key, final: true }).bars.map(({ cells, beats, meter, key: held }) => {
      const beat = quartersPerBeat(meter);
      return {
        // The library shows the root of `none`, which by the standard means nothing (MusicXML 4.0, kind-value); we write C.
        chords: cells.map(({ chord }) => (chord ? chordName(chord) : 'C')),
        at: cells.map(({ at }) => round(at * beat)),
        length: round(beats * beat),
        head: `${meterText(meter)} ${signatureOf(held)}`,
      };
    }),
  );
}

const repeats = `title: T
key: Bb
tempo: 120
crooked: yes
form: A, B, A
sections:
  A: |
    |: 1 (4. 5...) [1st 5 ] :| [2nd 1 (6- 2- 5^7 1) ]
    |: 1 4 :| x3
  B: |
    (1 b7 4 1) nc (1......)
`;
const changes = `title: T
key: Gm
tempo: 120
form: A, B
sections:
  A: |
    1- 5- @3/4 4- @key+2 1- @tempo=100 1-
  B: |
    @6/8 "stop" 1- (4- 5-) @5/4 1- @2/2 (1- 4-)
`;

const round = (value: number): number => Math.round(value * 1000) / 1000;
const signatureOf = (key: Key): string => {
  const fifths = keySignature(key);
  return fifths === 0 ? '0' : `${Math.abs(fifths)}${fifths > 0 ? 's' : 'f'}`;
};
const told = ({ chords, at, length, meter, signature }: EngravedMeasure) => ({
  // The library shows degrees beside a chord's own text though we ask for none to be shown (MusicXML 4.0, degree, print-object).
  chords: chords.map((chord) => chord.replace(/\((?:add|alt|sub)?[b#]?\d+\)/g, '')),
  at: at.map(round),
  length: round(length),
  head: `${meter} ${signature}`,
});

describe('a score as an engraving library reads it', () => {
  it.each(demos)('has the bars, chords and signatures of %s as it is played, in several keys', (name) => {
    // Its tune, whose pick-ups are bars of their own, has tests of its own.
    const { tune: _, ...chart } = chartOf(readFileSync(new URL(name, charts), 'utf8'));
    const tonics = chart.key.mode === 'minor' ? ['C#', 'Eb', 'G'] : ['Db', 'F#', 'Bb'];
    for (const key of [chart.key, ...tonics.map((tonic): Key => ({ ...chart.key, tonic }))]) {
      const read = score(chart, key);
      expect(read.log).toEqual([]);
      expect(read.title).toBe(chart.title);
      expect(read.mode).toBe(key.mode);
      expect(read.played.map(told)).toEqual(played(chart, key));
    }
  });

  it('of any chart has what is played, and nothing is complained of', () => {
    fc.assert(
      fc.property(generatedChart, (text) => {
        const chart = chartOf(text);
        const read = score(chart);
        expect(read.log).toEqual([]);
        const bars = played(chart, chart.key);
        // A pick-up is a bar of its own without a chord, and the bar before it is shorter by it.
        const full = read.played.map(told).filter(({ chords }) => chords.length > 0);
        expect(full.map(({ length: _, ...bar }) => bar)).toEqual(bars.map(({ length: _, ...bar }) => bar));
        if (chart.tune?.some(({ pickup }) => pickup))
          full.forEach(({ length }, index) => {
            expect(length).toBeLessThanOrEqual(bars[index]?.length ?? 0);
          });
        else expect(full.map(({ length }) => length)).toEqual(bars.map(({ length }) => length));
      }),
      { numRuns: 40 },
    );
  });

  it('has repeats and endings where they are written, and plays them so', () => {
    const { measures, played } = score(chartOf(repeats));
    expect(measures.map(line)).toEqual([
      '|: Bb',
      'Eb F',
      '1. F :|',
      '2. Bb',
      '2. Gm Cm F7 Bb',
      '|: Bb',
      'Eb :|',
      'Bb Ab Eb Bb',
      'C',
      'Bb',
    ]);
    expect(played.map(({ chords }) => chords.join(' '))).toEqual([
      ...['Bb', 'Eb F', 'F', 'Bb', 'Eb F', 'Bb', 'Gm Cm F7 Bb'],
      ...['Bb', 'Eb', 'Bb', 'Eb', 'Bb', 'Eb'],
      ...['Bb Ab Eb Bb', 'C', 'Bb'],
    ]);
    expect(measures.map(({ rehearsal }) => rehearsal)).toEqual([
      'A',
      ...Array(6).fill(null),
      'B',
      null,
      null,
    ]);
  });

  it('has changes of meter, key and tempo with the bar in which they stand', () => {
    const { measures, log } = score(chartOf(changes));
    expect(log).toEqual([]);
    expect(
      measures.map(({ meter, signature, tempo }) => `${meter} ${signature} ${tempo ?? ''}`.trim()),
    ).toEqual(['4/4 2f 120', '4/4 2f', '3/4 2f', '3/4 0', '3/4 0 100', '6/8 0', '6/8 0', '5/4 0', '2/2 0']);
    expect(measures.map(({ at }) => at.join(' '))).toEqual([
      '0',
      '0',
      '0',
      '0',
      '0',
      '0',
      '0 1.5',
      '0',
      '0 2',
    ]);
    expect(measures[5]?.words).toEqual(['stop']);
  });
});

describe('a tune as an engraving library reads it', () => {
  it.each(demos)('has the bars and chords of %s as they are written, in several keys', (name) => {
    const chart = chartOf(readFileSync(new URL(name, charts), 'utf8'));
    const tonics = chart.key.mode === 'minor' ? ['C#', 'G'] : ['Db', 'F#'];
    for (const key of [chart.key, ...tonics.map((tonic): Key => ({ ...chart.key, tonic }))]) {
      const read = tune(chart, key);
      expect(read.log.filter((line) => !limits.includes(line))).toEqual([]);
      expect(read.mode).toBe(key.mode);
      const [first] = read.measures;
      expect(`${first?.meter} ${first?.signature}`).toBe(played(chart, key)[0]?.head);
      const { bars } = sheetFromChart(chart, key).sheet;
      expect(read.measures.map(({ chords }) => chords)).toEqual(
        bars.map(({ chords }) => chords.map(({ chord }) => (chord ? chordName(chord) : 'N.C.'))),
      );
    }
  });

  it('has repeats where they are written', () => {
    const { measures, log } = tune(chartOf(repeats));
    expect(log.filter((line) => !limits.includes(line))).toEqual([]);
    expect(measures.map(line)).toEqual([
      '|: Bb',
      'Eb F',
      'F :|',
      'Bb',
      'Gm Cm F7 Bb ||',
      '|: Bb',
      'Eb :|',
      'Bb Ab Eb Bb',
      'N.C.',
      'Bb',
    ]);
  });

  it('has changes of meter with the bar in which they stand', () => {
    const { measures, log } = tune(chartOf(changes));
    expect(log.filter((line) => !limits.includes(line))).toEqual([]);
    expect(measures.map(({ meter, chords }) => `${meter} ${chords.join(' ')}`)).toEqual([
      '4/4 Gm',
      '4/4 Dm',
      '3/4 Cm',
      '3/4 Am',
      '3/4 Am',
      '6/8 Am',
      '6/8 Dm Em',
      '5/4 Am',
      '2/2 Am Dm',
    ]);
  });
});

/** `|: G 1. C :|`: what a measure has, in a line. */
function line({ left, right, ending, chords }: EngravedMeasure): string {
  return [
    ...(left === 'rptstart' ? ['|:'] : []),
    ...(ending === null ? [] : [`${ending}.`]),
    ...chords,
    ...(right === 'rptend' ? [':|'] : right === 'dbl' ? ['||'] : []),
  ].join(' ');
}
