import { describe, expect, it } from 'vitest';
import { mandolin } from '../../src/hand/instrument.js';
import { clockText, playedSong, singerKey, songSeconds } from '../../src/setlist/running-order.js';
import { keyName } from '../../src/theory/key.js';
import { arrange } from '../../src/time/arrange.js';
import { sent } from '../time/sent.js';
import { demoChart } from '../ui/model.js';

const nothing = { key: null, singer: null, tempo: null, passes: 1, countIn: null } as const;

/** What the player is sent for a song, added up: seconds from the first click of the count-in to the end. */
function sentSeconds(name: string, passes: number, countIn: number, bpm: number): number {
  const chart = demoChart(name);
  const share = bpm / chart.tempo.bpm;
  const { score, final } = arrange(chart, { key: chart.key, instrument: mandolin, share });
  const take = { score, ...(final ? { finalScore: final.score } : {}), passes, share, countIn };
  return sent(take).ms / 1000;
}

describe('songSeconds', () => {
  it.each([
    ['weir-hands', 1, 1, 252],
    ['weir-hands', 3, 2, 240],
    ['tollhouse-kettle', 2, 1, 118],
    ['copperwort-lane', 1, 0, 104],
    ['third-lantern-down', 2, 1, 200],
    ['lockkeepers-candle', 1, 2, 120],
    ['nine-barges-late', 1, 1, 260],
  ])(
    'of %s, %i passes, %i bars of count-in at %i, is what is played, to the beat',
    (name, passes, countIn, bpm) => {
      const chart = demoChart(name);
      const song = playedSong(chart, { ...nothing, passes, countIn, tempo: { ...chart.tempo, bpm } });
      const beat = 60 / bpm;
      expect(Math.abs(songSeconds(chart, song) - sentSeconds(name, passes, countIn, bpm))).toBeLessThan(
        beat / 10,
      );
    },
  );

  it('is what a handbook has: 64 quarters take 24, 32 and 40 seconds at 160, 120 and 96', () => {
    // Computed: 64 quarters at so many a minute.
    const chart = { ...demoChart('weir-hands'), form: demoChart('weir-hands').form.slice(1, 3) };
    for (const [bpm, seconds] of [
      [160, 24],
      [120, 32],
      [96, 40],
    ] as const)
      expect(
        songSeconds(chart, playedSong(chart, { ...nothing, countIn: 0, tempo: { bpm, count: 'quarter' } })),
      ).toBeCloseTo(seconds, 9);
  });
});

describe('playedSong', () => {
  const chart = {
    ...demoChart('weir-hands'),
    singers: [{ name: 'Ansa', key: { tonic: 'Bb', mode: 'major' } as const }],
  };
  it('takes key, singer and tempo from the set, else from the chart', () => {
    expect(keyName(playedSong(chart, nothing).key)).toBe('B');
    expect(keyName(playedSong(chart, { ...nothing, singer: 'ansa' }).key)).toBe('Bb');
    expect(keyName(playedSong(chart, { ...nothing, singer: 'nobody' }).key)).toBe('B');
    expect(playedSong(chart, { ...nothing, tempo: { bpm: 120, count: 'half' } })).toMatchObject({
      bpm: 240,
      countIn: 1,
    });
    expect(singerKey(chart, null)).toBeNull();
  });
});

describe('clockText', () => {
  it.each([
    [0, '0:00'],
    [59.6, '1:00'],
    [187, '3:07'],
    [3661, '61:01'],
  ])('%d is %s', (seconds, text) => {
    expect(clockText(seconds)).toBe(text);
  });
});
