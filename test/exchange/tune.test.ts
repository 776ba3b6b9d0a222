import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { writeChart } from '../../src/chart/write.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import { withoutMelody } from '../../src/exchange/melody.js';
import { readMusicXml } from '../../src/exchange/musicxml-read.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { chartOfAbc, seededTunes, sounds } from './tune-charts.js';

const ridge = `X:1
T:Miller's Ridge
M:4/4
L:1/8
Q:1/4=180
K:Ador
|: E | "Am"A2 AB c2 BA | "G"G2 (3EFG "Am"A4- | "Am"A2 e>c {d}"G"[GB]2 _B2 |1 "Am"A6 z :|2 "Am"A7 |]
|: e | "C"e2 ec "G"d2 dB | "Am"c2 cA "Em"B2 ^G2 | "Am"A8 | "Am"A6 z :|
`;

function readText(text: string): Chart {
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  return read.value;
}

function tuneLines(abc: string): string {
  const written = writeChart(chartOfAbc(abc));
  return written.slice(written.indexOf('tune:\n') + 6);
}

function inC(music: string, head = 'M:4/4\nL:1/8\nK:C'): string {
  return tuneLines(`X:1\nT:T\n${head}\n${music}\n`);
}

describe('the melody of ABC', () => {
  it('is the tune of the chart, with pick-ups, endings, ties and tuplets', () => {
    expect(tuneLines(ridge)).toBe(`  A: |
    |: E | A2 AB c2 BA | G2 (3E^FG A4- | A2 e>c B2 _B2 | [1 A6 z :| [2 A7 |
  B: |
    |: e | e2 ec d2 dB | c2 cA B2 ^G2 | A8 | A6 z :|
`);
  });

  it('tells what is left out of it, and all of it where it is not wanted', () => {
    const [tune] = abcTunes(ridge);
    const read = readAbc(tune as NonNullable<typeof tune>);
    expect(read.remarks.map(({ message }) => message)).toEqual([
      'A dorian is read as Am, because of its minor third: the tonic stays, and its sixth is written as 6',
      'left out: grace notes',
      'left out: lower notes of those that sound together',
    ]);
    const plain = withoutMelody(read);
    expect(plain.remarks.at(-1)?.message).toBe('the melody is left out: 33 notes');
    expect(chartFromSheet(plain.sheet).chart.tune).toBeUndefined();
  });

  it.each([
    ['accidentals hold in all octaves', '"C"^Ff F,4 f2|"C"=F8|', '^Ff F,4 f2 | F8 |'],
    ['a tie that leads to another note is a slur', '"C"C4-D4|"C"E8|', 'C4 D4 | E8 |'],
    ['rests as long as bars', '"C"C8|Z|"C"z8|', 'C8 | Z | Z |'],
    ['the first voice in a bar', '"C"C8&E8|"C"D8|', 'C8 | D8 |'],
    ['signatures without spaces', '[K:C^f_b]"C"B4F4|"C"B8|', '_B4 ^F4 | _B8 |'],
    ['signatures of their own', '[K:C exp _b]"C"B8|"C"B8|', '_B8 | _B8 |'],
  ])('%s', (_, music, expected) => {
    expect(inC(music)).toBe(`  A: |\n    ${expected}\n`);
  });

  it('counts in the unit of its own', () => {
    expect(inC('"C"C D E F|"C"C4|', 'M:4/4\nL:1/4\nK:C')).toBe('  A: |\n    C2 D2 E2 F2 | C8 |\n');
    expect(inC('"C"C2 D2|"C"C4|', 'M:2/4\nL:1/8\nK:C')).toBe('  A: |\n    C4 D4 | C8 |\n');
  });

  it('without a note is no tune', () => {
    expect(chartOfAbc('X:1\nT:T\nM:4/4\nK:C\n"C"z8|"F"z8|\n').tune).toBeUndefined();
  });
});

describe('a tune that goes out and comes back', () => {
  it('is written over its chords, notes tied where a chord changes within one', () => {
    const text =
      'title: T\nkey: G\ntempo: 120\nsections:\n  A: |\n    (1 5) 1\ntune:\n  A: |\n    D | G8 | B7 |\n';
    const read = readChart(new TextEncoder().encode(text));
    const chart = read.ok ? read.value : null;
    const abc = chart && abcText(sheetFromChart(chart, chart.key).sheet);
    expect(abc?.slice(abc.indexOf('K:'))).toBe('K:G\nP:A\nD | "G"G4-"D"G4 | "G"B7 |\n');
  });

  it('has brackets over tuplets in MusicXML, from their first note to the last, and none over a third alone', () => {
    const chart = chartOfAbc('X:1\nT:T\nM:4/4\nL:1/8\nK:C\n"C"(3CDE (3F2G A4|"C"(5:4:5cdefg c4|\n');
    const marks = (text: string): string[] =>
      [...text.matchAll(/<note>.*?<step>(.).*?<\/note>/g)].map(
        ([note, step]) =>
          `${/tuplet type="start"/.test(note) ? '(' : ''}${step}${/tuplet type="stop"/.test(note) ? ')' : ''}`,
      );
    expect(marks(musicXml(sheetFromChart(chart, chart.key).sheet)).join(' ')).toBe(
      '(C D E) (F G) A (C D E F G) C',
    );
  });

  it('has rests of two tuplets in a row as a rest of each in MusicXML, and what comes back can be read', () => {
    const text =
      'title: T\nkey: C\ntempo: 120\nform: A, A (key D)\nsections:\n  A: |\n    1 1\ntune:\n  A: |\n    (9:8:9C/2D/2E/2F/2G/2A/2B/2c/2z/2(5:4:5zCDEF | C8 |\n';
    const chart = readText(text);
    const score = musicXml(sheetFromChart(chart, chart.key).sheet);
    const rests = [...score.matchAll(/<note><rest\/>.*?<\/note>/g)].map(([note]) =>
      ['type', 'actual-notes', 'normal-notes']
        .map((name) => new RegExp(`<${name}>(.*?)</`).exec(note)?.[1])
        .join(' '),
    );
    expect(rests).toEqual(['16th 9 8', 'eighth 5 4', '16th 9 8', 'eighth 5 4']);
    const read = readMusicXml(score);
    const back = writeChart(chartFromSheet((read as Extract<typeof read, { ok: true }>).value.sheet).chart);
    expect(sounds(readText(back))).toEqual(sounds(chart));
  });

  it('keeps every note and length in ABC', () => {
    fc.assert(
      fc.property(seededTunes, (text) => {
        const chart = chartOfAbc(text);
        expect(sounds(chart).length).toBeGreaterThan(0);
        expect(sounds(chartOfAbc(abcText(sheetFromChart(chart, chart.key).sheet)))).toEqual(sounds(chart));
      }),
      { numRuns: 40 },
    );
  });

  it('keeps every note and length in MusicXML', () => {
    fc.assert(
      fc.property(seededTunes, (text) => {
        const chart = chartOfAbc(text);
        const form = chart.form.map(({ section }) => section).join(', ');
        const { sheet } = sheetFromChart(chart, chart.key);
        const score = musicXml(sheet, sheet.form && sheet.form.length > 1 ? { form } : {});
        const read = readMusicXml(score);
        expect(read.ok && sounds(chartFromSheet(read.value.sheet).chart)).toEqual(sounds(chart));
      }),
      { numRuns: 40 },
    );
  });

  it('sounds in another key as it does in its own, moved', () => {
    fc.assert(
      fc.property(seededTunes, (text) => {
        const chart = chartOfAbc(text);
        const key = { ...chart.key, tonic: chart.key.tonic === 'D' ? 'G' : 'D' };
        const pitches = (all: readonly string[]): number[] => all.map((one) => Number(one.split(':')[1]));
        const own = pitches(sounds(chart));
        const moved = pitches(sounds(chartOfAbc(abcText(sheetFromChart(chart, key).sheet))));
        const by = new Set(moved.map((pitch, index) => pitch - (own[index] ?? 0)));
        expect(moved).toHaveLength(own.length);
        expect(by.size).toBe(1);
        expect(Math.abs([...by][0] ?? 99)).toBeLessThanOrEqual(6);
      }),
      { numRuns: 20 },
    );
  });
});
