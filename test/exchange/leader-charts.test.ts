import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { textInKey } from '../../src/chart/text-in-key.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import type { LeadSheet } from '../../src/exchange/lead-sheet.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { chordName } from '../../src/theory/chord.js';
import { parseKey } from '../../src/theory/key.js';
import { pitchClass } from '../../src/theory/pitch.js';
import { scoreOf } from './score.js';

/*
 * Ten charts as a leader writes them, with all of the notation. Bars in a pass are counted by hand from the text, and so are the
 * chords of the bars that are looked at.
 */

const folder = new URL('../fixtures/leader/', import.meta.url);
const text = (name: string): string => readFileSync(new URL(`${name}.yaml`, folder), 'utf8');

function read(source: string): Chart {
  const reading = readChart(new TextEncoder().encode(source));
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return reading.value;
}

const charts: readonly (readonly [name: string, bars: number, looks: Readonly<Record<number, string>>])[] = [
  // The break in D is all of V; the lift goes up from G to A, and the last chorus stays there.
  [
    'ferry-at-first-light',
    52,
    { 2: '0 G, 1.5 D', 33: '0 D', 41: '0 D', 43: '0 E7', 45: '0 D', 48: '0 A, 0.5 D', 49: '0 A, 1 D, 1.5 E' },
  ],
  ['slow-water-turning', 37, { 2: '0 D, 0.67 A', 6: '0 G, 1 A', 35: '0 G, 1 A', 37: '0 D' }],
  ['hurdle-makers-round', 30, { 5: '0 A', 17: '0 A', 26: '0 A', 27: '0 D', 30: '0 A' }],
  ['two-lanterns-and-a-goose', 24, { 3: '0 C, 2 D', 9: '0 G', 13: '0 C, 1 D', 17: '0 Em', 24: '0 Em' }],
  ['gate-nine-stomp', 58, { 1: '0 B', 3: '0 B', 7: '0 F#', 13: '0 F#', 27: '0 B', 58: '0 nc' }],
  ['the-miller-counts-in-sevens', 36, { 3: '0 F, 3 E', 13: '0 E', 25: '0 D', 36: '0 Am' }],
  ['lock-seven-lullaby', 36, { 2: '0 F/A', 10: '0 Bbm', 15: '0 F, 1 C', 36: '0 F' }],
  [
    'three-chains-of-barley',
    48,
    { 7: '0 C, 2 G', 21: '0 Am, 1 F', 23: '0 D7, 1 G', 25: '0 D', 30: '0 F', 41: '0 C' },
  ],
  ['wherrymans-quarrel', 39, { 8: '0 Bb, 2 Eb, 3 F', 9: '0 F', 13: '0 Ab', 16: '0 Bb', 39: '0 Bb' }],
  ['nine-miles-to-the-fair', 24, { 3: '0 E, 3 B', 7: '0 E, 3 B', 9: '0 Bb', 13: '0 B', 17: '0 F#' }],
];

const looks = charts.flatMap(([name, , bars]) =>
  Object.entries(bars).map(([bar, chords]) => [name, Number(bar), chords] as const),
);

/** The chords of a bar and the felt beats they come on. */
function chordsIn(chart: Chart, bar: number): string {
  const { cells = [] } = unroll(chart, { final: true }).bars[bar - 1] ?? {};
  return cells
    .map(({ at, chord }) => `${Number(at.toFixed(2))} ${chord ? chordName(chord) : 'nc'}`)
    .join(', ');
}

/** What is played of a chart: keys, meters, tempos, chords by pitch, and what is said over them. */
function played(chart: Chart): string[] {
  return unroll(chart, { final: true }).bars.map(({ beats, cells, key, meter, tempo, words = [], cues }) => {
    const chords = cells.map(({ at, chord, hold }) => {
      const sound = chord ? `${pitchClass(chord.root)} ${chord.quality}` : 'nc';
      return `${at.toFixed(3)} ${sound}${hold === undefined ? '' : ' held'}`;
    });
    const head = `${meter.beats}/${meter.unit} ${pitchClass(key.tonic)} ${key.mode} ${tempo.bpm} ${beats}`;
    return `${head}: ${chords.join(', ')} ${[...words, ...cues].join(' / ')}`;
  });
}

function byAbc(sheet: LeadSheet): Chart {
  const [tune] = abcTunes(abcText(sheet));
  if (!tune) throw new Error('no tune');
  return chartFromSheet(readAbc(tune).sheet).chart;
}

function byScore(sheet: LeadSheet): Chart {
  const score = musicXml(sheet, { form: sheet.form?.join(', ') ?? '' });
  return chartFromSheet(scoreOf(score).sheet).chart;
}

describe('ten charts of a leader', () => {
  it('are all looked at', () => {
    const names = readdirSync(folder).map((name) => name.replace(/\.yaml$/, ''));
    expect(names.sort()).toEqual(charts.map(([name]) => name).sort());
  });

  it.each(charts)('%s has %i bars', (name, bars) => {
    expect(unroll(read(text(name)), { final: true }).bars).toHaveLength(bars);
  });

  it.each(looks)('%s, bar %i: %s', (name, bar, chords) => {
    expect(chordsIn(read(text(name)), bar)).toBe(chords);
  });

  it.each(charts)('%s is the same written tidily, and plays the same in another key and back', (name) => {
    const chart = read(text(name));
    expect(played(read(writeChart(chart)))).toEqual(played(chart));
    const other = parseKey(chart.key.mode === 'minor' ? 'C#m' : 'Eb');
    if (!other.ok) throw new Error('no key');
    const moved = textInKey(text(name), chart, other.value);
    if (!moved.ok) throw new Error(moved.fault.message);
    const back = textInKey(moved.value, read(moved.value), chart.key);
    expect(back.ok && played(read(back.value))).toEqual(played(chart));
  });

  it.each(charts)('%s comes back from ABC and MusicXML', (name) => {
    const chart = read(text(name));
    const { sheet } = sheetFromChart(chart, chart.key);
    expect(played(byAbc(sheet))).toEqual(played(chart));
    expect(played(byScore(sheet))).toEqual(played(chart));
  });
});
