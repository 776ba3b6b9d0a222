import { describe, expect, it } from 'vitest';
import { mandolin } from '../../src/hand/instrument.js';
import type { DiaryEntry } from '../../src/shed/diary.js';
import { minutesOf } from '../../src/shed/sitting-item.js';
import { type SittingWishes, sitting } from '../../src/shed/today.js';
import { demoChart } from '../ui/model.js';

const now = new Date(2026, 5, 1, 18, 0).getTime();
const charts = ['weir-hands', 'third-lantern-down', 'nine-barges-late'].map((name) => ({
  chart: demoChart(name),
  inSet: name === 'nine-barges-late',
}));

function wishes(entries: readonly DiaryEntry[], minutes = 20): SittingWishes {
  return { entries, charts, minutes, now, instrument: mandolin, plan: {}, target: 1 };
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

describe('sitting', () => {
  it('begins with a warm-up, keeps to its time, rests between, and says why, from an empty diary', () => {
    const items = sitting(wishes([]));
    const [first] = items;
    expect(first?.kind === 'drill' && first.drill.kind).toBe('fret');
    expect(minutesOf(items)).toBeGreaterThan(17);
    expect(minutesOf(items)).toBeLessThan(23);
    expect(items.filter(({ kind }) => kind === 'rest').length).toBeGreaterThanOrEqual(2);
    for (const item of items) if (item.kind === 'drill') expect(item.why.length).toBeGreaterThan(5);
    const why = items.flatMap((item) => (item.kind === 'drill' ? [item.why] : [])).join('\n');
    expect(why).toContain('in the next set');
    expect(why).toContain('new: ');
  });

  it('mixes: no drill twice in a row', () => {
    const titles = sitting(wishes([], 40)).flatMap((item) =>
      item.kind === 'drill' ? [item.drill.title] : [],
    );
    titles.forEach((title, index) => {
      if (index > 0) expect(title).not.toBe(titles[index - 1]);
    });
    expect(new Set(titles).size).toBeLessThan(titles.length);
  });

  it('takes what is due first, and builds it from the diary alone', () => {
    const items = sitting(wishes([done({ at: now - 30 * day }), done({ at: now - 29 * day })]));
    const [, second] = items;
    if (second?.kind !== 'drill') throw new Error('no drill');
    expect(second.why).toMatch(/^due for \d+ days; held 180 last$/);
    expect(second.drill.kind).toBe('pair');
    expect(second.drill.chart.key.tonic).toBe('B');
    expect(second.drill.chart.tempo).toEqual({ bpm: 252, count: 'quarter' });
  });

  it('leaves out what is not due yet, and what is unmarked counts for nothing', () => {
    const why = (entries: readonly DiaryEntry[]): string =>
      sitting(wishes(entries))
        .flatMap((item) => (item.kind === 'drill' ? [item.why] : []))
        .join('\n');
    const good = [40, 37, 20, 1].map((ago) => done({ at: now - ago * day, bpm: 252 }));
    expect(why(good)).not.toContain('due');
    expect(why([done({ result: 'unmarked' })])).not.toContain('due');
  });

  it('of five minutes is short, and of no charts is nothing', () => {
    expect(minutesOf(sitting(wishes([], 5)))).toBeLessThanOrEqual(6);
    expect(sitting({ ...wishes([]), charts: [] })).toEqual([]);
  });
});
