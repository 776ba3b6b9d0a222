import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { quartersPerBeat } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { playedTune } from '../../src/chart/tune/play-tune.js';
import { partsPerQuarter } from '../../src/chart/tune/tune.js';
import { unroll } from '../../src/chart/unroll.js';
import { readDocument } from '../../src/setlist/document.js';
import { chordTones } from '../../src/theory/chord.js';
import { keyName } from '../../src/theory/key.js';
import { barsOf } from './written.js';

const folder = new URL('../../charts/', import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
const text = (name: string): string => readFileSync(new URL(name, folder), 'utf8');

/** Chart, key and bars in a pass, counted by hand from the form. */
const charts: readonly (readonly [string, string, number])[] = [
  ['copperwort-lane.yaml', 'C', 72],
  ['half-a-mile-of-fog.yaml', 'G', 32],
  ['lockkeepers-candle.yaml', 'Am', 96],
  ['nine-barges-late.yaml', 'Bb', 136],
  ['osier-and-twine.yaml', 'E', 100],
  ['ropewalk-penny.yaml', 'A', 68],
  ['sluice-gate-morning.yaml', 'A', 136],
  ['third-lantern-down.yaml', 'G', 100],
  ['tollhouse-kettle.yaml', 'D', 16],
  ['weir-hands.yaml', 'B', 60],
];

describe('the demo charts', () => {
  it.each(files)('%s reads without any fault', (name) => {
    expect(readDocument(readFileSync(new URL(name, folder)))).toMatchObject({ ok: true, faults: [] });
  });

  it.each(charts)('%s is in %s and has %i bars', (name, key, bars) => {
    const passes = [barsOf(text(name)), barsOf(text(name), { final: true })];
    expect(passes.map((pass) => pass.length)).toStrictEqual([bars, bars]);
    expect(passes.map((pass) => pass[0] && keyName(pass[0].key))).toStrictEqual([key, key]);
  });

  it('are in the keys players call most, one of them minor', () => {
    const keys = files.flatMap((name) => {
      const reading = readChart(readFileSync(new URL(name, folder)));
      return reading.ok ? keyName(reading.value.key) : [];
    });
    expect(keys).toEqual(expect.arrayContaining(['A', 'Bb', 'B', 'C', 'D', 'E', 'G', 'Am']));
  });

  it('have a form of eight bars and one of thirty-two', () => {
    expect(barsOf(text('weir-hands.yaml')).filter((bar) => bar.entry === 1)).toHaveLength(8);
    expect(barsOf(text('half-a-mile-of-fog.yaml'))).toHaveLength(32);
  });

  it('play their first bars as they are written', () => {
    const reading = readChart(readFileSync(new URL('third-lantern-down.yaml', folder)));
    const bars = reading.ok ? unroll(reading.value).bars : [];
    const roots = bars.slice(0, 8).map((bar) => bar.cells.map((cell) => cell.chord?.root).join(' '));
    expect(roots).toStrictEqual(['G D', 'G', 'G', 'G', 'G', 'G', 'C', 'G']);
  });

  it.each(charts)('%s has a tune whose strong beats agree with its chords', (name) => {
    const reading = readChart(readFileSync(new URL(name, folder)));
    const chart = reading.ok ? reading.value : null;
    if (!chart) throw new Error('it does not read');
    const { bars } = unroll(chart);
    // Where the first and the third beat are, in 3/4 the first alone; in cut time both.
    const strong = chart.meter.beats === 3 ? [0] : chart.meter.unit === 2 ? [0, 1] : [0, 2];
    const agree = playedTune(chart, bars, { home: chart.key }).flatMap(({ bar, at, pitch, tied }) => {
      const played = bars[bar];
      if (!played || tied) return [];
      const beat = at / partsPerQuarter / quartersPerBeat(played.meter);
      const chord = played.cells.findLast((cell) => cell.at <= beat)?.chord;
      return chord && strong.includes(beat) ? [chordTones(chord).includes(pitch % 12)] : [];
    });
    expect(agree.length).toBeGreaterThan(chart.sections.length * 3);
    expect(agree.filter(Boolean).length / agree.length).toBeGreaterThan(0.8);
    const heights = playedTune(chart, bars, { home: chart.key }).map(({ pitch }) => pitch);
    expect(Math.max(...heights) - Math.min(...heights)).toBeLessThanOrEqual(22);
  });
});
