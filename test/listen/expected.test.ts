import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { expectedStrokes } from '../../src/listen/expected.js';
import { passTime } from '../../src/listen/pass-time.js';
import { arrange } from '../../src/time/arrange.js';
import { patterns } from '../../src/time/pattern.js';
import { key } from '../theory/reading.js';
import { expecting } from './expecting.js';

const charts = new URL('../../charts/', import.meta.url);

/** When the strokes of a score begin: the first note of each, low notes and chops, by tick. */
function struck(notes: readonly (readonly { at: number; voice: string }[])[], spread: number): number[] {
  const all = notes
    .flat()
    .filter(({ voice }) => voice === 'low' || voice === 'chop')
    .map(({ at }) => at)
    .sort((one, other) => one - other);
  return all.filter((at, index) => index === 0 || at - (all[index - 1] as number) > spread);
}

describe('expectedStrokes', () => {
  const names = readdirSync(charts).filter((name) => name.endsWith('.yaml'));
  it.each(names)('has a stroke wherever the score has one, in every pattern: %s', (name) => {
    const read = readChart(readFileSync(new URL(name, charts)));
    // The demo set is not a chart.
    if (!read.ok) return expect(name).toBe('osier-lock-gathering.yaml');
    for (const pattern of [undefined, ...patterns]) {
      const options = {
        key: read.value.key,
        instrument: mandolin,
        share: 1,
        ...(pattern ? { pattern } : {}),
      };
      const arranged = arrange(read.value, options);
      const ticks = [...new Set(expectedStrokes(read.value, arranged, options).map(({ tick }) => tick))];
      // Within a stroke its courses come apart by a few ticks; strokes are a sixteenth apart at least.
      expect(ticks, pattern?.name ?? '').toStrictEqual(struck(arranged.score.notes, 60));
    }
  });

  it('says what each stroke is: where, which kind, how it ends, which chord, and whether it is a change', () => {
    const { expected } = expecting('1 4', { bpm: 120 });
    expect(
      expected.map(({ bar, beat, at, kind, ending, chord, from, entry }) => [
        bar,
        beat,
        Math.round(at),
        kind,
        ending,
        chord.number,
        from?.number ?? null,
        entry,
      ]),
    ).toStrictEqual([
      [0, 0, 0, 'low', 'choke', '1', null, 0],
      [0, 1, 500, 'chop', 'chop', '1', null, 0],
      [0, 2, 1000, 'low', 'choke', '1', null, 0],
      [0, 3, 1500, 'chop', 'chop', '1', null, 0],
      [1, 0, 2000, 'low', 'choke', '4', '1', 1],
      [1, 1, 2500, 'chop', 'chop', '4', null, 1],
      [1, 2, 3000, 'low', 'choke', '4', null, 1],
      [1, 3, 3500, 'chop', 'chop', '4', null, 1],
    ]);
    // Common practice: G 7-5-2-3 has D4 (62) on its lowest course; C has the pitch classes 0, 4 and 7.
    expect(expected[0]?.chord).toStrictEqual({
      name: 'G',
      number: '1',
      notes: [62, 67, 71, 79],
      pitchClasses: [7, 11, 2],
    });
    expect(expected[4]?.chord.pitchClasses).toStrictEqual([0, 4, 7]);
  });

  it('knows early chords, chords that ring, upstrokes and rests', () => {
    const early = expecting("1 '4", { bpm: 120 }).expected.find((one) => one.early);
    expect(early).toMatchObject({ bar: 1, beat: -0.5, tick: 3360, kind: 'chop' });
    const kinds = expecting('1 nc 4', { bpm: 120, pattern: 'low-chop-up' }).expected.map(
      ({ bar, kind }) => `${bar} ${kind}`,
    );
    expect(kinds).toStrictEqual([
      '0 low',
      '0 chop',
      '0 up',
      '0 low',
      '0 chop',
      '0 up',
      '2 low',
      '2 chop',
      '2 up',
      '2 low',
      '2 chop',
      '2 up',
    ]);
    const ends = expecting('1~ 4!', { bpm: 120 }).expected.map(({ bar, ending }) => `${bar} ${ending}`);
    expect(ends).toStrictEqual(['0 ring', '1 chop']);
  });

  it('counts a chord that stays once, and a chord after a rest as a change from the last one', () => {
    const { expected } = expecting('1 1 nc 4');
    expect(expected.filter(({ from }) => from).map(({ bar, from }) => [bar, from?.name])).toStrictEqual([
      [3, 'G'],
    ]);
    expect(new Set(expected.map(({ entry }) => entry)).size).toBe(2);
  });

  it('takes times from whoever knows them better', () => {
    const options = { key: key('G'), instrument: mandolin, share: 1 };
    const read = readChart(
      new TextEncoder().encode('title: A\nkey: G\ntempo: 120\nmeter: 4/4\nsections:\n  V: 1\n'),
    );
    if (!read.ok) throw new Error('the chart does not read');
    const arranged = arrange(read.value, options);
    const strokes = expectedStrokes(read.value, arranged, { ...options, timeOf: (tick) => 100 + tick });
    expect(strokes.map(({ at }) => at)).toStrictEqual([100, 1060, 2020, 2980]);
  });
});

describe('passTime', () => {
  it('follows the tempos of the bars, before the first and after the last too', () => {
    const { arranged } = expecting('1 @tempo=60 4', { bpm: 120 });
    const timeOf = passTime(arranged.score.bars, 1);
    expect([-480, 0, 960, 3840, 4800, 8640].map((tick) => Math.round(timeOf(tick)))).toStrictEqual([
      -250, 0, 500, 2000, 3000, 7000,
    ]);
    expect(passTime(arranged.score.bars, 0.5)(3840)).toBeCloseTo(4000);
    expect(passTime([], 1)(960)).toBe(0);
  });
});
