import { createEmptyCard, default_w, fsrs, Rating } from 'ts-fsrs';
import { describe, expect, it } from 'vitest';
import type { DiaryEntry } from '../../src/shed/diary.js';
import { dueChanges, gradeOf } from '../../src/shed/review.js';

const day = 86_400_000;
const start = new Date(2026, 2, 9, 18, 0).getTime();

function entry(changes: Partial<DiaryEntry>): DiaryEntry {
  return {
    at: start,
    what: 'drill',
    drill: 'pair',
    title: '1 and 4 of Ferry Bell',
    file: null,
    changes: [['a>b', '1>4']],
    key: 'A',
    bpm: 200,
    target: 200,
    pattern: null,
    result: 'clean',
    ms: 10_000,
    ...changes,
  };
}

describe('ts-fsrs', () => {
  it('gives the published sequence of intervals', () => {
    // Computed on Node 20 with ts-fsrs 5.4.2 and its default weights: Good ×6, Again ×2, Good ×5, each on its due date.
    const scheduler = fsrs({ w: default_w });
    let card = createEmptyCard(new Date(2022, 11, 29, 12, 30));
    let now = new Date(2022, 11, 29, 12, 30);
    const grades = [...Array(6).fill(Rating.Good), Rating.Again, Rating.Again, ...Array(5).fill(Rating.Good)];
    const intervals = grades.map((grade) => {
      card = scheduler.next(card, now, grade).card;
      now = card.due;
      return card.scheduled_days;
    });
    expect(intervals).toEqual([0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21]);
  });
});

describe('gradeOf', () => {
  const marks = (text: string): Parameters<typeof gradeOf>[0] =>
    text
      .split(' ')
      .filter((one) => one !== '')
      .map((one) => ({
        result: one.startsWith('c') ? 'clean' : one.startsWith('m') ? 'miss' : 'unmarked',
        bpm: Number(one.slice(1) || 200),
        target: 200,
      }));
  it.each([
    ['', null],
    ['u', null],
    ['m', Rating.Again],
    ['c120 m140', Rating.Again],
    ['m c120', Rating.Hard],
    ['c120 c150', Rating.Hard],
    ['m c200', Rating.Good],
    ['c200', Rating.Easy],
    ['u c199', Rating.Easy],
  ])('a day of %j is graded %s', (text, grade) => {
    expect(gradeOf(marks(text))).toBe(grade);
  });
});

describe('dueChanges', () => {
  it('grades a day once, and knows what was best on the last', () => {
    const [change] = dueChanges([
      entry({ bpm: 120, result: 'miss' }),
      entry({ at: start + 60_000, bpm: 120 }),
      entry({ at: start + day, bpm: 150 }),
      entry({ at: start + day + 1000, bpm: 160 }),
    ]);
    expect(change).toMatchObject({ id: 'a>b', numbers: '1>4', key: 'A', best: 160, target: 200 });
    expect(change?.card.reps).toBe(2);
    expect(change?.card.due.getTime()).toBeGreaterThan(start + day);
  });

  it('lets what is missed come again soon, and what is good later', () => {
    const dueIn = (result: DiaryEntry['result'], bpm: number): number => {
      const [change] = dueChanges([0, 2, 6].map((after) => entry({ at: start + after * day, result, bpm })));
      return ((change?.card.due.getTime() ?? 0) - start - 6 * day) / day;
    };
    expect(dueIn('miss', 200)).toBeLessThan(2);
    expect(dueIn('clean', 200)).toBeGreaterThan(7);
    expect(dueIn('clean', 120)).toBeLessThan(dueIn('clean', 200));
  });

  it('does not take an unmarked pass as clean, nor a missed whole chart as a missed change', () => {
    expect(dueChanges([entry({ result: 'unmarked' })])).toEqual([]);
    const many = [
      ['a>b', '1>4'],
      ['b>c', '4>5'],
      ['c>a', '5>1'],
    ] as const;
    expect(dueChanges([entry({ changes: many, result: 'miss' })])).toEqual([]);
    expect(dueChanges([entry({ changes: many })])).toHaveLength(3);
  });

  it('takes days in their order, however they stand in the diary', () => {
    const days = [0, 1, 4].map((number) => entry({ at: start + number * day, bpm: 180 + number }));
    const [first, second, third] = days as [DiaryEntry, DiaryEntry, DiaryEntry];
    expect(dueChanges([third, first, second])).toEqual(dueChanges(days));
  });
});
