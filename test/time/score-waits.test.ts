import { describe, expect, it } from 'vitest';
import { playedSong, songSeconds } from '../../src/setlist/running-order.js';
import { begin } from '../../src/time/conductor.js';
import { scoreSeconds } from '../../src/time/score.js';
import { chart } from '../hand/charts.js';
import { score } from './scores.js';
import { sent } from './sent.js';

const once = { passes: 1, share: 1, countIn: 0 } as const;

describe('a pass that slows down and waits', () => {
  it('has the tempo beat by beat, in whole ticks', () => {
    const made = score('1 @rit=80% 5', { tempo: 120 });
    expect(made.bars[1]?.tempos).toStrictEqual([
      { at: 0, tempo: 114 },
      { at: 960, tempo: 108 },
      { at: 1920, tempo: expect.closeTo(102, 9) },
      { at: 2880, tempo: 96 },
    ]);
    const beats = [120, 120, 120, 120, 114, 108, 102, 96].reduce((sum, bpm) => sum + 60 / bpm, 0);
    expect(scoreSeconds(made)).toBeCloseTo(beats, 9);
    expect(sent({ ...once, score: made }).ms).toBeCloseTo(1000 * beats, 6);
    // At a share of the tempo all of it takes longer alike.
    expect(sent({ ...once, score: made, share: 0.5 }).ms).toBeCloseTo(2000 * beats, 6);
  });

  it.each([
    ['1 1_ 5', 4 + 8 + 4],
    ['1 1_6 5', 4 + 6 + 4],
    ['1 (5.. 1_7..) 5', 4 + 2 + 7 + 4],
    ['1 (5_6 1 4 5) 1', 4 + 6 + 3 + 4],
    ['1 @wait 5', 4 + 4 + 4],
    ['1_6 @wait=3 5', 6 + 3 + 4],
  ])('%s takes its length where nobody gives a cue', (bars, beats) => {
    const made = score(bars, { tempo: 60 });
    expect(scoreSeconds(made)).toBeCloseTo(beats, 9);
    expect(sent({ ...once, score: made }).ms).toBeCloseTo(1000 * beats, 6);
    const { segments } = sent({ ...once, score: made });
    expect(segments.some(({ holds }) => holds)).toBe(false);
  });

  it.each(['1 @rit=70% 5 1_', '@rit=50% 1_ @wait 5', '1 @wait @tempo=60 5', '(1_ 4 5_ 1) @rit=60% (1 4_)'])(
    '%s takes as long as a running order says, with its count',
    (bars) => {
      const made = score(bars, { tempo: 120 });
      const of = chart(bars, { tempo: 120 });
      const song = playedSong(of, { key: null, singer: null, tempo: null, passes: 2, countIn: 1 });
      const { ms } = sent({ ...once, score: made, passes: 2, countIn: 1 });
      expect(songSeconds(of, song)).toBeCloseTo(ms / 1000, 6);
    },
  );

  it('strikes a held chord once, to its end, whatever the pattern', () => {
    const made = score('1_6 5', {});
    const own = (made.notes[0] ?? []).map(({ at, voice, length }) => [at, voice, length]);
    expect(own.filter(([, voice]) => voice === 'bass')).toStrictEqual([[0, 'bass', 6 * 960 - 40]]);
    expect(own.every(([at]) => (at as number) < 100)).toBe(true);
    expect(made.bars[1]?.start).toBe(6 * 960);
  });

  it('counts in before a bar that is held or slows down as before any other', () => {
    const made = score('@rit=50% 1_ 5', { tempo: 120 });
    const [count] = begin({ ...once, countIn: 1, score: made }, 0, 0).segments;
    expect(count?.length).toBe(3840);
    expect([...(count?.tempoMap ?? [])]).toStrictEqual([0, 60_000 / 120 / 960]);
  });

  it('stands still in segments without a note, and is sent all the rest ahead', () => {
    const made = score('1 1_ 5 @wait 1', { tempo: 120 });
    const { segments } = sent({ ...once, score: made, holds: true });
    expect(segments.map(({ startTick, length, holds }) => [startTick, length, holds ?? false])).toStrictEqual(
      [
        [0, 3840 + 120, false],
        [3960, 7680 - 120, true],
        [11_520, 3840, false],
        [15_360, 2880, true],
        [18_240, 960 + 3840, false],
      ],
    );
    expect(segments.filter(({ holds }) => holds).every(({ events }) => events.length === 0)).toBe(true);
    // Gear that follows is told the place after each.
    expect(segments.map(({ jump }) => jump)).toStrictEqual([true, false, true, false, true]);
  });
});
