import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { secondsFrom } from '../../src/setlist/run.js';
import { Evening, songsOf, type Written } from './evening.js';

const names = [
  'weir-hands',
  'tollhouse-kettle',
  'sluice-gate-morning',
  'copperwort-lane',
  'half-a-mile-of-fog',
  'lockkeepers-candle',
  'nine-barges-late',
  'osier-and-twine',
  'third-lantern-down',
] as const;
const keys: Readonly<Record<string, readonly string[]>> = {
  'weir-hands': ['B', 'A', 'Bb'],
  'third-lantern-down': ['G', 'A'],
  'copperwort-lane': ['C', 'D', 'Eb'],
};

/** Sixty songs of nine charts in turn, in several keys, some twice through, breaks after the twentieth and the fortieth. */
const sixty: readonly Written[] = Array.from({ length: 60 }, (_, index): Written => {
  const name = names[index % names.length] as string;
  const own = keys[name];
  return {
    name,
    ...(own ? { key: own[Math.floor(index / names.length) % own.length] as string } : {}),
    passes: index % 7 === 3 ? 2 : 1,
    countIn: index % 5 === 4 ? 2 : 1,
    gap: index % 4 === 0 ? 12.5 : 4,
    breakBefore: index === 20 || index === 40 ? 15 : 0,
  };
});

/** Seconds from the first click of each song to its end: its clicks begin where silence is longer than any beat lasts. */
function clicked(evening: Evening): readonly number[] {
  const clicks = evening.output.ons.filter(({ status }) => status === 0x99).map(({ time }) => time);
  const starts = clicks.filter((time, index) => index === 0 || time - (clicks[index - 1] as number) > 3500);
  return starts.map((time) => (time - 5000) / 1000);
}

describe('an evening of sixty songs that runs by itself', () => {
  const evening = new Evening(songsOf(sixty));
  evening.until(({ run }) => run.phase === 'over');
  const { songs } = evening;

  it('plays each song when it was predicted, and takes the time that was predicted, to the beat', () => {
    const starts = clicked(evening);
    expect(starts).toHaveLength(60);
    let due = 0;
    songs.forEach(({ gap, breakBefore, seconds, start }, index) => {
      due += 60 * breakBefore + Number(gap);
      const beat = 60 / start.bpm;
      expect(Math.abs((starts[index] as number) - due)).toBeLessThan(beat);
      due += seconds;
    });
    expect(Math.abs(secondsFrom(songs) - due)).toBeLessThan(1e-6);
    expect(Math.abs(evening.seconds - due)).toBeLessThan(0.25);
  });

  it('has all songs in order, whole, and nothing that hangs', () => {
    expect(evening.run.played.map(({ id, whole }) => `${id} ${whole}`)).toEqual(
      songs.map(({ id }) => `${id} true`),
    );
    expect(evening.output.hanging()).toEqual([]);
  });

  it('is in the diary: every song, in its key and tempo', () => {
    const records = evening.effects.flatMap(({ effect }) => (effect.kind === 'record' ? [effect] : []));
    expect(records).toHaveLength(60);
    expect(records[0]?.record).toMatchObject({ title: 'Weir Hands', key: 'B', bpm: 252, set: 'Evening' });
    expect(records[9]?.record).toMatchObject({ title: 'Weir Hands', key: 'A' });
    records.forEach(({ record }, index) => {
      const gained = (record.ms - 1000 * (songs[index]?.seconds ?? 0)) / 1000;
      expect(Math.abs(gained)).toBeLessThan(0.25);
    });
  });

  it('is kept as it goes, and forgotten at its end', () => {
    const kept = evening.effects.flatMap(({ effect }) =>
      effect.kind === 'keep-run' ? [effect.run?.at] : [],
    );
    expect(new Set(kept)).toEqual(new Set([...Array.from({ length: 60 }, (_, index) => index), undefined]));
    expect(kept.at(-1)).toBeUndefined();
  });
});

/** What happens on a busy evening: at which song and how far into it, and what the player does. */
function busy(evening: Evening): void {
  const at = (place: number): void =>
    evening.until(({ run }) => run.phase === 'song' && run.songs[run.at]?.id === place);
  const card = (place: number): void =>
    evening.until(({ run }) => run.phase === 'card' && run.songs[run.at]?.id === place);
  const into = (place: number, seconds: number): void => {
    at(place);
    evening.wait(seconds);
  };
  // Once more through a section, twice.
  into(1, 6);
  evening.press('extend');
  evening.wait(1);
  evening.press('extend');
  // Cut to the ending in the first verse.
  into(3, 20);
  evening.press('ending');
  // A song that goes wrong is left; the next one's card waits for the pedal.
  into(5, 10);
  evening.press('song-next');
  evening.wait(8);
  evening.press('go-on');
  // Waits on a chord while somebody finds the words.
  into(7, 15.1);
  evening.press('hold');
  evening.wait(10);
  evening.press('hold');
  // Once more, by popular demand.
  into(8, 30);
  evening.press('song-again');
  // A string breaks: a pause of a minute.
  into(10, 9);
  evening.press('play');
  evening.wait(60);
  evening.press('play');
  // Tuning takes longer than the gap.
  card(12);
  evening.press('tune');
  evening.wait(25);
  evening.press('go-on');
  // Somebody asks for a song, in A, while another is played.
  into(14, 12);
  evening.press('mark-later');
  evening.press('order');
  evening.press('request');
  evening.wait(0.5);
  evening.type('candle');
  evening.press('order-jump');
  evening.wait(0.5);
  evening.press('line-erase');
  evening.press('line-erase');
  evening.type('Bm');
  evening.press('line-done');
  card(61);
  evening.wait(3);
  evening.press('go-on');
  // Back to the card of the song before, and on again by hand.
  card(16);
  evening.press('song-back');
  evening.wait(2);
  evening.press('song-next');
  evening.wait(2);
  evening.press('go-on');
  // The break is cut short.
  evening.until(({ run }) => run.phase === 'break');
  evening.wait(300);
  evening.press('go-on');
  // The night grows late: from here to one of the last, found by its name; what follows it is the end.
  into(24, 5);
  evening.press('order');
  evening.type('lantern');
  for (let down = 0; down < 5; down += 1) evening.press('order-on');
  evening.press('order-jump');
  // One that stands before the end goes after it, another is left out.
  into(54, 5);
  evening.press('order');
  evening.type('weir');
  for (let down = 0; down < 6; down += 1) evening.press('order-on');
  evening.press('order-later');
  evening.press('back');
  evening.type('fog');
  for (let down = 0; down < 6; down += 1) evening.press('order-on');
  evening.press('order-out');
  evening.press('back');
  evening.press('back');
  // A pass more.
  into(56, 3);
  evening.press('one-pass-more');
  evening.until(({ run }) => run.phase === 'over');
}

describe('an evening on which everything happens', () => {
  const songs = songsOf(sixty);
  const evening = new Evening(songs, songsOf([{ name: 'lockkeepers-candle' }]));
  busy(evening);

  it('is as it is written', () => {
    const written = readFileSync(new URL('../fixtures/evening.txt', import.meta.url), 'utf8');
    expect(`${evening.log.join('\n')}\n`).toBe(written);
  });

  it('counts no pause as playing', () => {
    const record = evening.effects.flatMap(({ effect }) =>
      effect.kind === 'record' ? [effect.record] : [],
    )[9];
    // The tenth that was played is the one again; the eleventh was paused for a minute, and counted in again.
    const paused = evening.effects.flatMap(({ effect }) =>
      effect.kind === 'record' ? [effect.record] : [],
    )[10];
    expect(record?.title).toBe('Third Lantern Down');
    expect(paused?.title).toBe('Weir Hands');
    expect((paused?.ms ?? 0) / 1000).toBeGreaterThan(songs[9]?.seconds ?? 0);
    expect((paused?.ms ?? 0) / 1000).toBeLessThan((songs[9]?.seconds ?? 0) + 4);
  });

  it('leaves nothing that hangs, and every note has its end', () => {
    expect(evening.output.hanging()).toEqual([]);
    expect(evening.output.offs.length).toBeGreaterThanOrEqual(evening.output.ons.length);
  });

  it('tells gear that follows to start once for each start, and to stop each time', () => {
    const told = evening.output.sent.map(({ status }) => status);
    const count = (status: number): number => told.filter((one) => one === status).length;
    const starts = count(0xfa) + count(0xfb);
    expect(count(0xfc)).toBe(starts);
    // Between two songs nothing but pulses, programs, and the ends of notes.
    expect(starts).toBeGreaterThan(30);
  });
});
