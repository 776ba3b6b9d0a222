import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mandolin } from '../../src/hand/instrument.js';
import { dayThings } from '../../src/shed/day-things.js';
import { type DiaryEntry, diaryLine, readDiary } from '../../src/shed/diary.js';
import { type HeardFigures, heardFigures, readFigures } from '../../src/shed/heard-figures.js';
import { heardWeeks, lateChanges } from '../../src/shed/heard-summary.js';
import { lateThings } from '../../src/shed/late-things.js';
import { verdictOn } from '../ui/update/heard-verdicts.js';

const figures: HeardFigures = {
  result: 'not clean',
  chops: { mean: -8, spread: 10, count: 30 },
  lows: { mean: -4, spread: 8, count: 30 },
  absolute: true,
  changes: [
    { id: 'one>four', numbers: '1>4', of: 4, late: 2, ms: 60 },
    { id: 'four>one', numbers: '4>1', of: 4, late: 0, ms: 0 },
  ],
  wrong: [['4', 'A', 3]],
  rang: 2,
  stopped: 30,
};
const monday = new Date(2026, 2, 9, 18).getTime();
const dayMs = 86_400_000;
const entry = (heard: HeardFigures | undefined, changes: Partial<DiaryEntry> = {}): DiaryEntry => ({
  at: monday,
  what: 'drill',
  drill: 'pair',
  title: '1 and 4 of Ferry Bell',
  file: null,
  changes: [
    ['one>four', '1>4'],
    ['four>one', '4>1'],
  ],
  key: 'A',
  bpm: 180,
  target: 200,
  pattern: null,
  result: 'miss',
  ms: 12_000,
  ...(heard ? { heard } : {}),
  ...changes,
});

describe('what was heard, in the diary', () => {
  it('is the figures of the verdict, with the ids of the pass’s own changes', () => {
    const made = heardFigures(verdictOn('late'), [['one>four', '1>4']]);
    expect(made).toMatchObject({ result: 'not clean', absolute: true, rang: 0, wrong: [] });
    expect(made.chops?.mean).toBeCloseTo(0, 0);
    expect(made.changes[0]).toMatchObject({ id: 'one>four', numbers: '1>4', late: 4, of: 4 });
    expect(made.changes[0]?.ms).toBeGreaterThan(100);
    expect(made.changes.find(({ numbers }) => numbers === '4>1')).toMatchObject({ id: null, late: 0 });
    expect(readFigures(JSON.parse(JSON.stringify(made)))).toEqual(made);
  });

  it('is written and read back; a pass without it, or of an older version of the program, is a pass', () => {
    const lines = [entry(figures), entry(undefined)];
    expect(readDiary(lines.map(diaryLine).join('\n')).entries).toEqual(
      lines.map((one) => ({ v: 1, ...one })),
    );
  });

  it('is left out where it is not what it should be, and the pass stays', () => {
    const bad: unknown[] = [
      7,
      [],
      { ...figures, result: 'fine' },
      { ...figures, chops: { mean: 'x', spread: 1, count: 2 } },
      { ...figures, chops: { mean: 0, spread: -1, count: 2 } },
      { ...figures, rang: -1 },
      { ...figures, changes: Array.from({ length: 13 }, () => figures.changes[0]) },
      { ...figures, changes: [{ ...figures.changes[0], late: 5 }] },
      { ...figures, changes: [{ ...figures.changes[0], numbers: 'x'.repeat(201) }] },
      { ...figures, wrong: [['4', 'A']] },
    ];
    for (const heard of bad) {
      const { entries, aside } = readDiary(JSON.stringify({ v: 1, ...entry(undefined), heard }));
      expect(aside).toEqual([]);
      expect(entries).toEqual([{ v: 1, ...entry(undefined) }]);
    }
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 4 }), (heard) => {
        const { entries } = readDiary(JSON.stringify({ v: 1, ...entry(undefined), heard }));
        expect(entries).toHaveLength(1);
        expect(entries[0]?.heard ?? null).toBeNull();
      }),
    );
  });
});

describe('what was heard over weeks', () => {
  it('is the mean of all strokes, and the spread within passes', () => {
    const weeks = heardWeeks([
      entry({ ...figures, chops: { mean: -10, spread: 6, count: 10 } }),
      entry(
        { ...figures, chops: { mean: 20, spread: 8, count: 30 }, absolute: false },
        { at: monday + 6 * dayMs },
      ),
      entry({ ...figures, chops: null }, { at: monday + 7 * dayMs }),
      entry({ ...figures, result: 'not heard', chops: { mean: 400, spread: 90, count: 9 } }),
      entry(undefined),
    ]);
    expect(weeks.map(({ week, passes }) => [week, passes])).toEqual([
      ['2026-03-09', 2],
      ['2026-03-16', 1],
    ]);
    // (10·(−10) + 30·20) / 40, and √((10·36 + 30·64) / 40).
    expect(weeks[0]).toMatchObject({
      chops: { mean: 12.5, spread: 7.5, count: 40 },
      lead: -10,
      rang: 4,
      stopped: 60,
    });
    expect(weeks[1]).toMatchObject({ chops: null, lead: null });
  });

  it('names the changes that come late most often, in all keys together', () => {
    const other = { ...figures, changes: [{ id: 'one>four', numbers: '1>4', of: 4, late: 3, ms: 80 }] };
    const [first, ...more] = lateChanges([entry(figures), entry(other, { key: 'B', at: monday + 1 })]);
    expect(more).toEqual([]);
    // (2·60 + 3·80) / 5
    expect(first).toMatchObject({ id: 'one>four', label: '1 to 4 in B', late: 5, of: 8, ms: 72 });
  });
});

describe('a sitting', () => {
  const wishes = {
    charts: [],
    minutes: 20,
    now: monday + dayMs,
    instrument: mandolin,
    plan: {},
    target: 1,
  };
  const often = { ...figures, changes: [{ id: 'one>four', numbers: '1>4', of: 4, late: 3, ms: 80 }] };

  it('has a change that was heard late again and again, and says so', () => {
    const entries = [entry(often), entry(often)];
    expect(lateThings({ ...wishes, entries })).toEqual([
      {
        task: { kind: 'chords', chords: '1 4' },
        key: 'A',
        tempo: { from: 140, to: 200 },
        why: 'was heard late 6 of 8 times, by 80 ms',
        id: 'one>four',
      },
    ]);
    const things = dayThings({ ...wishes, entries }, 'settle', 20);
    expect(things.some(({ why }) => why.startsWith('was heard late'))).toBe(true);
  });

  it('has none that was late once or twice, long ago, or has no usable numbers', () => {
    const none = (...entries: DiaryEntry[]): void => expect(lateThings({ ...wishes, entries })).toEqual([]);
    none(entry(figures));
    none(entry(often, { at: monday - 20 * dayMs }));
    none(entry({ ...often, changes: [{ id: null, numbers: 'x>y', of: 4, late: 4, ms: 80 }] }));
    none(entry({ ...often, changes: [{ id: null, numbers: '1', of: 4, late: 4, ms: 80 }] }));
    none(entry({ ...often, changes: [{ id: 'a', numbers: '1>4', of: 40, late: 5, ms: 80 }] }));
  });
});
