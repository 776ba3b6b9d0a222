import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { lineText } from '../../src/chart/write.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { abcText } from '../../src/exchange/abc-write.js';
import { sheetFromChart } from '../../src/exchange/chart-to-sheet.js';
import { midiFile } from '../../src/exchange/midi-file.js';
import { musicXml } from '../../src/exchange/musicxml-write.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { arrange } from '../../src/time/arrange.js';
import { usualMix } from '../../src/time/sound.js';
import { chart } from '../hand/charts.js';
import { mandolin } from '../ui/model.js';
import { scoreOf } from './score.js';

const lines = ({ sections }: Chart): string[] =>
  sections.flatMap((section) => section.lines.map((line) => lineText(line, null)));

const viaAbc = (of: Chart): Chart => {
  const [tune] = abcTunes(abcText(sheetFromChart(of, of.key).sheet));
  if (!tune) throw new Error('no tune');
  return chartFromSheet(readAbc(tune).sheet).chart;
};
const viaXml = (of: Chart): Chart =>
  chartFromSheet(scoreOf(musicXml(sheetFromChart(of, of.key).sheet)).sheet).chart;

describe('held chords, stops and slowing', () => {
  it.each([
    '1 4 5 1_',
    '1 (4.. 5_..) 1 1',
    '1 1 @wait 5 1_',
    '1 @rit=80% 4 5 1_',
    '|: 1 4 [1st 5 @wait ] [2nd @rit=70% 5 1_ ] :|',
  ])('%s comes back from ABC and MusicXML', (bars) => {
    const of = chart(bars, { tempo: 120 });
    const out = lines(of).map((line) => line.replace(' [1st', ' [1st'));
    const words = (of: string[]): string[] =>
      of
        .join(' ')
        .match(/@rit=\d+%|@wait|[1-7]_/g)
        ?.map(String) ?? [];
    expect(words(lines(viaAbc(of)))).toStrictEqual(words(out));
    expect(words(lines(viaXml(of)))).toStrictEqual(words(out));
    expect(words(out).length).toBeGreaterThan(0);
  });

  it('are signs where a format has them, and words where not', () => {
    const of = chart('1 @wait @rit=80% 5 1_6', { tempo: 120 });
    const { sheet, lost } = sheetFromChart(of, of.key);
    expect(abcText(sheet)).toContain('"^rit. to 80\\u0025"');
    expect(abcText(sheet)).toMatch(/"[A-G]"!fermata!z4/);
    const xml = musicXml(sheet);
    expect(xml).toContain('<notations><fermata/></notations>');
    expect(xml).toContain('<notations><articulations><caesura/></articulations></notations>');
    expect(xml).toContain('<words>rit. to 80%</words>');
    expect(lost).toContain('how long a chord is held if nobody releases it: its fermata is kept');
  });

  it('of others are taken over: a fermata on whatever note, its letter too', () => {
    const [tune] = abcTunes('X:1\nT:A\nM:4/4\nL:1/4\nK:G\n"G"GABc|"D"d2Hd2|"G"!fermata!G4|]\n');
    if (!tune) throw new Error('no tune');
    expect(lines(chartFromSheet(readAbc(tune).sheet).chart)).toStrictEqual(['1 5_ 1_']);
  });

  it('stand in a MIDI file as tempos and lengths', () => {
    const of = chart('1 @rit=80% 5 @wait 1_6', { tempo: 120 });
    const arrangement = arrange(of, { key: of.key, share: 1, instrument: mandolin });
    const file = parseMidi(
      midiFile({
        chart: of,
        arrangement,
        take: { score: arrangement.score, passes: 1, share: 1, countIn: 0 },
        mix: usualMix,
      }),
    );
    let tick = 0;
    const tempos = (file.tracks[0] ?? []).flatMap((event) => {
      tick += event.deltaTime;
      return event.type === 'setTempo' ? [[tick, Math.round(6e9 / event.microsecondsPerBeat) / 100]] : [];
    });
    expect(tempos).toStrictEqual([
      [0, 120],
      [3840, 115.2],
      [4800, 110.4],
      [5760, 105.6],
      [6720, 100.8],
      // The stop is in the tempo of what comes: the chord that is held is the last beat of the slowing.
      [7680, 96],
    ]);
    const end = Math.max(
      ...file.tracks.map((track) => track.reduce((sum, { deltaTime }) => sum + deltaTime, 0)),
    );
    expect(end).toBe(3840 * 3 + 6 * 960);
  });
});
