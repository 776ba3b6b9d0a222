import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mandolin } from '../../src/hand/instrument.js';
import { type DayKind, dayKind, dayKinds } from '../../src/shed/day-kind.js';
import type { DiaryEntry } from '../../src/shed/diary.js';
import { noMarks, type PathMarks } from '../../src/shed/path-state.js';
import { minutesOf, type SittingItem } from '../../src/shed/sitting-item.js';
import { type SittingWishes, sitting } from '../../src/shed/today.js';
import { weekPlan } from '../../src/shed/week-plan.js';
import { demoChart } from '../ui/model.js';

const now = new Date(2026, 5, 1, 18, 0).getTime();
const charts = ['weir-hands', 'third-lantern-down', 'nine-barges-late'].map((name) => ({
  chart: demoChart(name),
  file: `/own/${name}.yaml`,
  inSet: name === 'nine-barges-late',
}));
const walked: PathMarks = { start: 'end', steps: {} };

function wishes(entries: readonly DiaryEntry[], minutes = 20, marks: PathMarks = walked): SittingWishes {
  return { entries, charts, marks, minutes, now, instrument: mandolin, plan: {}, target: 1 };
}

const day = 86_400_000;
const done = (changes: Partial<DiaryEntry>): DiaryEntry => ({
  at: now - 30 * day,
  what: 'drill',
  drill: 'pair',
  title: '1 and 4 of Weir Hands',
  file: null,
  changes: [['5-3-0-1/4-3-1-2>3-0-1-x/3-1-2-x', '1>4']],
  key: 'B',
  bpm: 180,
  target: 252,
  pattern: null,
  result: 'clean',
  ms: 60_000,
  ...changes,
});

const drillsOf = (items: readonly SittingItem[]) =>
  items.flatMap((item) => (item.kind === 'drill' ? [item] : []));

describe('sitting', () => {
  it('opens for a beginner with the first step of the path, whatever charts there are', () => {
    for (const own of [charts, []]) {
      const items = drillsOf(
        sitting({ ...wishes([], 20, noMarks), charts: own.map((one) => ({ ...one, inSet: false })) }),
      );
      expect(items[0]?.drill.kind).toBe('fret');
      expect(items[1]?.drill.step).toBe('one-shape');
      expect(items[1]?.why).toContain('the next step of the path');
      expect(items.map(({ why }) => why).join()).not.toContain('among the hardest');
      expect(items.at(-1)?.drill).toMatchObject({ kind: 'song', title: 'Lantern Row' });
    }
  });

  it('begins with a warm-up, keeps to its time, rests between, and says why', () => {
    const items = sitting(wishes([]));
    const [first] = drillsOf(items);
    expect(first?.drill.kind).toBe('fret');
    expect(minutesOf(items)).toBeGreaterThan(16);
    expect(items.filter(({ kind }) => kind === 'rest').length).toBeGreaterThanOrEqual(1);
    const why = drillsOf(items).map((item) => item.why);
    for (const one of why) expect(one.length).toBeGreaterThan(5);
    expect(why.join('\n')).toContain('in the next set');
    expect(why.join('\n')).toContain('new: ');
  });

  it('never takes longer than it may, and ends with something whole, on whatever day', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 4, max: 90 }),
        fc.constantFrom(...(Object.keys(dayKinds) as DayKind[])),
        fc.constantFrom<PathMarks>(
          noMarks,
          { start: 'song-of-three', steps: {} },
          { start: 'three-keys', steps: {} },
          walked,
        ),
        fc.boolean(),
        (minutes, kind, marks, withCharts) => {
          const items = sitting({ ...wishes([], minutes, marks), charts: withCharts ? charts : [] }, kind);
          expect(minutesOf(items)).toBeLessThanOrEqual(minutes);
          const last = drillsOf(items).at(-1);
          if (kind === 'rest') expect(items).toEqual([]);
          else if (kind !== 'run') expect(last?.drill.kind).toBe('song');
          const titles = items.map((item) =>
            item.kind === 'rest' ? '' : `${item.drill.title} ${item.drill.chart.key.tonic}`,
          );
          titles.forEach((title, at) => {
            if (title !== '') expect(title).not.toBe(titles[at - 1]);
          });
        },
      ),
      { numRuns: 100 },
    );
  });

  it('takes what is due, and builds it from the diary alone', () => {
    const items = drillsOf(
      sitting(wishes([done({ at: now - 30 * day }), done({ at: now - 29 * day })]), 'mixed'),
    );
    const found = items.find(({ why }) => /^due for \d+ days; held 180 last time$/.test(why));
    expect(found?.drill.kind).toBe('pair');
    expect(found?.drill.chart.key.tonic).toBe('B');
    expect(found?.drill.chart.tempo).toEqual({ bpm: 252, count: 'quarter' });
  });

  it('leaves out what is not due yet, and what is unmarked counts for nothing', () => {
    const why = (entries: readonly DiaryEntry[]): string =>
      drillsOf(sitting(wishes(entries), 'mixed'))
        .map((item) => item.why)
        .join('\n');
    const good = [40, 37, 20, 1].map((ago) => done({ at: now - ago * day, bpm: 252 }));
    expect(why(good)).not.toContain('due');
    expect(why([done({ result: 'unmarked' })])).not.toContain('due');
  });
});

describe('weekPlan', () => {
  it('has seven different days that fit, and gives a new thing two days at least', () => {
    const days = weekPlan(wishes([], 25, noMarks), null);
    expect(days.map(({ kind }) => kind)).toEqual([
      'new',
      'settle',
      'time',
      'rest',
      'further',
      'mixed',
      'songs',
    ]);
    for (const { items } of days) expect(minutesOf(items)).toBeLessThanOrEqual(25);
    const texts = days.map(({ items }) =>
      JSON.stringify(drillsOf(items).map(({ drill }) => [drill.title, drill.start])),
    );
    expect(new Set(texts).size).toBe(7);
    const first = days.map(({ items }) =>
      drillsOf(items).some(({ drill }) => drill.step === 'one-shape' && drill.start.ladder),
    );
    expect(first.filter(Boolean).length).toBeGreaterThanOrEqual(2);
  });

  it('leads to a set', () => {
    const kinds = (away: number): readonly string[] =>
      weekPlan(wishes([]), now + away * day).map(({ kind }) => kind);
    expect(kinds(5)).toEqual(['hard', 'time', 'mixed', 'rest', 'run', 'stage', 'after']);
    expect(kinds(0).slice(0, 2)).toEqual(['stage', 'after']);
  });
});

describe('dayKind', () => {
  const at = (ago: number): DiaryEntry => done({ at: now - ago * day });
  it('does not give a second rest to somebody who rested already', () => {
    expect(dayKind([at(3), at(2), at(1)], now, null)).toBe('rest');
    expect(dayKind([at(3), at(2)], now, null)).toBe('further');
    expect(dayKind([], now, null)).toBe('new');
  });
});
