import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DiaryEntry, diaryLine, readDiary } from '../../src/shed/diary.js';
import { changeProgress, chartProgress, dayOf, minutesByDay } from '../../src/shed/summary.js';

const entry: DiaryEntry = {
  at: new Date(2026, 2, 9, 18, 0).getTime(),
  what: 'drill',
  drill: 'pair',
  title: '1 and 4 of Ferry Bell',
  file: '/own/ferry-bell.yaml',
  changes: [['5-3-0-1/4-3-1-2>3-0-1-x/3-1-2-x', '1>4']],
  key: 'A',
  bpm: 180,
  target: 200,
  pattern: 'low-chop',
  result: 'clean',
  ms: 12_000,
};

describe('readDiary', () => {
  it('reads what was written', () => {
    const other = {
      ...entry,
      what: 'chart',
      drill: null,
      file: null,
      pattern: null,
      changes: [],
      result: 'unmarked',
    } as const;
    expect(readDiary(`${diaryLine(entry)}\n${diaryLine(other)}\n`)).toEqual({
      entries: [
        { v: 1, ...entry },
        { v: 1, ...other },
      ],
      aside: [],
      asideCount: 0,
    });
  });

  it('sets aside what is torn or foreign, says where and why, and reads the rest', () => {
    const lines = [
      diaryLine(entry),
      diaryLine(entry).slice(0, 50),
      'hello',
      '[1]',
      '',
      '{"v":2}',
      '{"v":1,"at":"x"}',
      diaryLine(entry),
    ];
    const { entries, aside } = readDiary(lines.join('\n'));
    expect(entries).toHaveLength(2);
    expect(aside).toEqual([
      { line: 2, why: 'the line is cut short' },
      { line: 3, why: 'this is not a diary line' },
      { line: 4, why: 'this is not a diary line' },
      { line: 6, why: 'it is of version 2, which is not known here' },
      { line: 7, why: 'parts of the entry are missing or wrong' },
    ]);
  });

  it('never throws, and loses no good line, whatever stands between', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.string().map((text) => text.replace(/\n/g, ' ')),
          { maxLength: 10 },
        ),
        (rubbish) => {
          const lines = rubbish.flatMap((one) => [one, diaryLine(entry)]);
          const { entries, aside } = readDiary(lines.join('\n'));
          expect(entries).toHaveLength(rubbish.length);
          expect(aside.length).toBe(rubbish.filter((one) => one.trim() !== '').length);
        },
      ),
    );
  });
});

describe('progress', () => {
  const day = 86_400_000;
  const entries = [
    entry,
    { ...entry, at: entry.at + 1000, bpm: 190, result: 'miss' },
    { ...entry, at: entry.at + day, bpm: 195 },
    { ...entry, at: entry.at + 2 * day, bpm: 200, result: 'miss' },
    { ...entry, at: entry.at + 3 * day, bpm: 210, result: 'unmarked' },
    { ...entry, what: 'chart', title: 'Ferry Bell', bpm: 150, changes: [] },
  ] as const satisfies DiaryEntry[];

  it('of a change: the fastest clean tempo by day, and what holds', () => {
    const [change] = changeProgress(entries);
    expect(change).toMatchObject({
      label: '1 to 4 in A',
      holds: 195,
      passes: 5,
      clean: 2,
      missed: 2,
      unmarked: 1,
    });
    expect(change?.days).toEqual([
      { day: dayOf(entry.at), bpm: 180 },
      { day: dayOf(entry.at + day), bpm: 195 },
      { day: dayOf(entry.at + 2 * day), bpm: 0 },
    ]);
  });

  it('of a chart as a whole', () => {
    expect(chartProgress(entries)).toMatchObject([{ id: 'Ferry Bell', holds: 150, passes: 1 }]);
  });

  it('minutes by day, by the calendar', () => {
    const minutes = minutesByDay(entries, entry.at + 3 * day, 5);
    expect(minutes.map(({ minutes: one }) => Math.round(one * 10) / 10)).toEqual([0, 0.6, 0.2, 0.2, 0.2]);
    expect(minutes.map(({ day: one }) => one)).toEqual(
      [-1, 0, 1, 2, 3].map((after) => dayOf(entry.at + after * day)),
    );
  });
});
