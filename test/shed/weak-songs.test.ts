import { describe, expect, it } from 'vitest';
import type { DiaryEntry } from '../../src/shed/diary.js';
import { weakSongs } from '../../src/shed/weak-songs.js';

const entry = (more: Partial<DiaryEntry>): DiaryEntry => ({
  at: 0,
  what: 'chart',
  drill: null,
  title: 'Tin Heron',
  file: null,
  changes: [
    ['a>b', '1>4'],
    ['b>c', '4>5'],
    ['c>a', '5>1'],
  ],
  key: 'A',
  bpm: 100,
  target: 200,
  pattern: null,
  result: 'clean',
  ms: 1000,
  ...more,
});
const drill = (title: string, result: DiaryEntry['result'], ...ids: string[]): DiaryEntry =>
  entry({ what: 'drill', drill: 'pair', title, result, changes: ids.map((id) => [id, '1>4']) });
const weak = (...entries: DiaryEntry[]): object => Object.fromEntries(weakSongs(entries));

describe('how weak songs are', () => {
  it('counts passes of all of it that were marked, and only those', () => {
    const [clean, miss, unmarked] = [entry({}), entry({ result: 'miss' }), entry({ result: 'unmarked' })];
    expect(weak(clean, miss, unmarked, miss)).toStrictEqual({ 'Tin Heron': { missed: 2, of: 3 } });
    expect(weak(unmarked)).toStrictEqual({});
    expect(weak()).toStrictEqual({});
  });

  it('counts drills of its bars, by the name in their titles', () => {
    const fog = entry({ title: 'Half a Mile of Fog', changes: [] });
    expect(
      weak(
        fog,
        drill('bars 1 to 4 of Half a Mile of Fog', 'miss', 'x', 'y', 'z'),
        drill('bars 1 to 4 of Half a Mile of Fog, from the end', 'clean', 'x', 'y', 'z'),
        drill('bars 1 to 4 of Fog', 'miss', 'x', 'y', 'z'),
      ),
    ).toStrictEqual({ 'Half a Mile of Fog': { missed: 1, of: 3 } });
  });

  it('counts drills of one change for every song that has it, and of more changes for none', () => {
    const other = entry({ title: 'Lamp Oil', changes: [['b>c', '1>4']] });
    expect(
      weak(
        entry({}),
        other,
        drill('1 to 4 and back', 'miss', 'b>c', 'c>b'),
        drill('1 to 4 and back', 'miss', 'c>a'),
        drill('all of them', 'miss', 'a>b', 'b>c', 'c>a'),
        drill('of no song', 'miss', 'q>r'),
      ),
    ).toStrictEqual({ 'Tin Heron': { missed: 2, of: 3 }, 'Lamp Oil': { missed: 1, of: 2 } });
  });

  it('forgets what is longer ago than twenty marks', () => {
    const before = Array.from({ length: 30 }, () => entry({ result: 'miss' }));
    const after = Array.from({ length: 15 }, () => entry({}));
    expect(weak(...before, ...after)).toStrictEqual({ 'Tin Heron': { missed: 5, of: 20 } });
  });

  it('takes marks for later and questions about numbers for no passes', () => {
    expect(
      weak(entry({ what: 'later', result: 'miss' }), entry({ what: 'numbers', result: 'miss' })),
    ).toStrictEqual({});
  });
});
