import { describe, expect, it } from 'vitest';
import { mandolin } from '../../src/hand/instrument.js';
import { type DiaryEntry, diaryLine, readDiary } from '../../src/shed/diary.js';
import { laterDrill, openMarks } from '../../src/shed/later.js';
import { changeProgress, setsPlayed } from '../../src/shed/summary.js';
import { sitting } from '../../src/shed/today.js';
import { demoChart } from '../ui/model.js';

const day = 86_400_000;
const entry = (changes: Partial<DiaryEntry>): DiaryEntry => ({
  at: day,
  what: 'chart',
  drill: null,
  title: 'Weir Hands',
  file: '/charts/weir-hands.yaml',
  changes: [],
  key: 'B',
  bpm: 240,
  target: 252,
  pattern: null,
  result: 'unmarked',
  ms: 60_000,
  ...changes,
});
const mark = (bar: number, at = day, changes: Partial<DiaryEntry> = {}): DiaryEntry =>
  entry({ what: 'later', bar, at, ms: 0, set: 'Gathering', ...changes });

describe('marks to look at later', () => {
  it('stand in the diary as lines of their own, and are read again', () => {
    const one = mark(7);
    expect(readDiary(`${diaryLine(one)}\n`)).toEqual({
      entries: [{ v: 1, ...one }],
      aside: [],
      asideCount: 0,
    });
    expect(readDiary(`${diaryLine({ ...one, bar: 'x' as never })}\n`).aside).toHaveLength(1);
  });

  it('are open until the bars round them were drilled, and open again when they are marked again', () => {
    const drilled = entry({ what: 'drill', title: 'bars 5 to 8 of Weir Hands, from the end', at: 2 * day });
    const other = entry({ what: 'drill', title: 'bars 9 to 12 of Weir Hands', at: 2 * day });
    const bars = (...entries: DiaryEntry[]): number[] => openMarks(entries).map(({ bar }) => bar);
    expect(bars(mark(7), mark(3))).toEqual([7, 3]);
    expect(bars(mark(7), other)).toEqual([7]);
    expect(bars(mark(7), drilled)).toEqual([]);
    expect(bars(mark(7), drilled, mark(7, 3 * day))).toEqual([7]);
    expect(bars(mark(7), mark(7, 3 * day))).toEqual([7]);
    expect(bars(mark(7), entry({ what: 'drill', title: 'bars 5 to 8 of Another' }))).toEqual([7]);
  });

  it('come first in what there is to practise, in the key in which they were marked', () => {
    const items = sitting({
      entries: [mark(7, day, { key: 'A' })],
      charts: [{ chart: demoChart('weir-hands'), file: 'own.yaml', inSet: false }],
      minutes: 10,
      now: 2 * day,
      instrument: mandolin,
      plan: {},
      target: 1,
    });
    const [, first] = items;
    if (first?.kind !== 'drill') throw new Error('no drill');
    expect(first.why).toBe('marked on 1970-01-02 in Gathering, at bar 7: look at this later');
    expect(first.drill.title).toBe('bars 5 to 8 of Weir Hands, from the end');
    expect(first.drill.chart.key.tonic).toBe('A');
  });

  it('of bars that no longer exist lead to nothing', () => {
    expect(laterDrill(demoChart('weir-hands'), { bar: 400, key: 'B' })).toBeNull();
    expect(laterDrill(demoChart('weir-hands'), { bar: 7, key: 'Bm' })?.chart.key.tonic).toBe('B');
  });

  it('are no passes', () => {
    const changes: DiaryEntry['changes'] = [['5-3-0-1/4-3-1-2>5-2-3-x/4-2-3-x', '1>5']];
    expect(changeProgress([mark(7, day, { changes })])).toEqual([]);
    expect(changeProgress([entry({ changes })])).toHaveLength(1);
  });
});

describe('setsPlayed', () => {
  it('puts together what was played of a set on a day', () => {
    const songs = [
      entry({ set: 'Gathering', title: 'One', ms: 120_000 }),
      mark(3),
      entry({ set: 'Gathering', title: 'Two', ms: 60_000, key: 'A' }),
      entry({ title: 'practice' }),
      entry({ set: 'Gathering', title: 'Three', at: 4 * day }),
    ];
    expect(
      setsPlayed(songs).map(({ set, songs: own, minutes }) => [
        set,
        own.map(({ title, key }) => `${title} ${key}`),
        minutes,
      ]),
    ).toEqual([
      ['Gathering', ['One B', 'Two A'], 3],
      ['Gathering', ['Three B'], 1],
    ]);
  });
});
