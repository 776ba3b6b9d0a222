import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import type { LeadSheet } from '../../src/exchange/lead-sheet.js';
import { readMusicXml } from '../../src/exchange/musicxml-read.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { chordName } from '../../src/theory/chord.js';
import { keyName, parseKey } from '../../src/theory/key.js';

function read(text: string): Chart {
  const reading = readChart(new TextEncoder().encode(text));
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return reading.value;
}

function played(chart: Chart): string {
  return unroll(chart, { final: true })
    .bars.map(
      (bar) =>
        `${keyName(bar.key)}:${bar.cells.map(({ chord }) => (chord ? chordName(chord) : 'nc')).join()}`,
    )
    .join(' ');
}

/** A sheet through a format and back, as text that is read again. */
const ways: Readonly<Record<string, (sheet: LeadSheet) => LeadSheet>> = {
  ABC: (sheet) => {
    const [tune] = abcTunes(abcText(sheet));
    if (!tune) throw new Error('no tune');
    return readAbc(tune).sheet;
  },
  MusicXML: (sheet) => {
    const result = readMusicXml(musicXml(sheet));
    if (!result.ok) throw new Error(JSON.stringify(result.fault));
    return result.value.sheet;
  },
};

const head = 'title: Lock Song\nkey: G\n';
const charts: readonly (readonly [string, string])[] = [
  ['a key that is named', `${head}sections:\n  V: |\n    1 4 @key=A 1 5\n`],
  ['a change of mode and back', `${head}sections:\n  V: |\n    1 4 @key=Em 1- b7 @key=G 1 1\n`],
  ['a key of an entry', `${head}form: V, B (banjo, key D), V\nsections:\n  V: |\n    1 4\n  B: |\n    1 5\n`],
  ['a section that climbs', `${head}form: L x2\nsections:\n  L: |\n    1 4 @key+2 5 1\n`],
  ['a minor key', 'title: T\nkey: F#m\nform: V, V (key A)\nsections:\n  V: |\n    1- b7 @key=D 1 5\n'],
];

describe.each(Object.entries(ways))('keys through %s and back', (_, way) => {
  it.each(charts)('%s', (_name, text) => {
    const chart = read(text);
    const { sheet } = sheetFromChart(chart, chart.key);
    const { chart: back, remarks } = chartFromSheet(way(sheet));
    expect(remarks).toEqual([]);
    expect(played(read(writeChart(back)))).toBe(played(chart));
  });

  it.each(['C', 'Eb', 'F#'])('in %s', (name) => {
    const key = parseKey(name);
    if (!key.ok) throw new Error(name);
    const chart = read(charts[2]?.[1] ?? '');
    const { sheet } = sheetFromChart(chart, key.value);
    const moved = played({ ...chart, key: key.value });
    expect(played(read(writeChart(chartFromSheet(way(sheet)).chart)))).toBe(moved);
  });
});

describe('a sheet with keys', () => {
  it('has each part in its own key where the form comes back to it', () => {
    const [tune] = abcTunes('X:1\nM:4/4\nL:1/4\nP:ABA\nK:G\nP:A\n"G"z4|"C"z4|\nP:B\n[K:D]"D"z4|"A"z4|\n');
    if (!tune) throw new Error('no tune');
    const { chart } = chartFromSheet(readAbc(tune).sheet);
    expect(played(chart)).toBe('G:G G:C D:D D:A G:G G:C');
  });

  it('has the bars of a repeat in the keys in which they stand', () => {
    const [tune] = abcTunes('X:1\nM:4/4\nL:1/4\nK:G\n|:"G"z4|1 [K:A]"A"z4:|2 "A"z4|\n');
    if (!tune) throw new Error('no tune');
    expect(played(chartFromSheet(readAbc(tune).sheet).chart)).toBe('G:G A:A G:G A:A');
  });
});
