import { describe, expect, it } from 'vitest';
import { stepNamed } from '../../src/shed/path-steps.js';
import { minutesOf, type SittingItem } from '../../src/shed/sitting-item.js';
import { demoChart } from '../ui/model.js';
import { advanced, beginner, newPlayer } from './weeks/player-model.mjs';
import { type PractisedDay, weeks } from './weeks/weeks.mjs';

const monday = new Date(2026, 5, 1, 18, 0).getTime();

/** A day as what is told of it: what, in which key, how long, from and to which tempo. */
function told(items: readonly SittingItem[]): string {
  return items
    .map((item) =>
      item.kind === 'rest'
        ? 'rest'
        : `${item.drill.title} ${item.drill.chart.key.tonic} ${item.minutes} ${item.drill.start.share} ${item.drill.chart.tempo.bpm}`,
    )
    .join('\n');
}

function isWhole(item: SittingItem | undefined): boolean {
  return item?.kind === 'drill' && item.drill.kind === 'song' && (item.drill.start.passes ?? 0) >= 1;
}

/** What holds of everybody's days. */
function expectGoodDays(days: readonly PractisedDay[], minutes: number): void {
  days.forEach(({ kind, items }, index) => {
    expect(minutesOf(items)).toBeLessThanOrEqual(minutes);
    if (kind === 'rest') {
      expect(items).toEqual([]);
      return;
    }
    expect(isWhole(items.at(-1)), `day ${index + 1} ends whole`).toBe(true);
    expect(told(items), `day ${index + 1} is not the day before`).not.toBe(
      told(days[index - 1]?.items ?? []),
    );
    const titles = items.map((item) =>
      item.kind === 'rest' ? '' : item.drill.title + item.drill.chart.key.tonic,
    );
    titles.forEach((title, at) => {
      if (title !== '') expect(title).not.toBe(titles[at - 1]);
    });
  });
}

describe('a beginner’s first three weeks', () => {
  const seeds = [1, 2, 3, 4, 5, 6];
  const all = seeds.map((seed) =>
    weeks({ player: newPlayer(beginner, seed), from: monday, days: 21, minutes: 20 }),
  );

  it('fit the minutes, end with something whole, and no day repeats the one before', () => {
    for (const { days } of all) expectGoodDays(days, 20);
  });

  it('take every new thing from the path, each after what it needs', () => {
    for (const { days } of all) {
      days.forEach(({ items }, index) => {
        const before = days[index - 1]?.state.done ?? new Set<string>();
        for (const item of items) {
          if (item.kind !== 'drill' || item.drill.step === undefined) continue;
          for (const need of stepNamed(item.drill.step)?.needs ?? ['no such step'])
            expect(before, `${item.drill.step} on day ${index + 1}`).toContain(need);
        }
      });
    }
  });

  it('open with the first step and rest each week on a day by itself', () => {
    const [{ days } = { days: [] }] = all;
    const [first] = days;
    const drills = first?.items.flatMap((item) => (item.kind === 'drill' ? [item.drill] : [])) ?? [];
    expect(drills[1]?.step).toBe('one-shape');
    expect(days.filter(({ kind }) => kind === 'rest').map(({ now }) => new Date(now).getDay())).toEqual([
      4, 4, 4,
    ]);
    expect(new Set(days.slice(0, 7).map(({ kind }) => kind)).size).toBe(7);
  });

  it('reach the song of 1, 4 and 5, most of them', () => {
    const reached = all.filter(({ days }) =>
      days.some(({ state }) => state.steps.some(({ step, begun }) => step.id === 'song-of-three' && begun)),
    );
    expect(reached.length).toBeGreaterThanOrEqual(5);
    // And nobody by jumping: what comes before is done.
    for (const { days } of reached) expect(days.at(-1)?.state.done).toContain('home-and-four');
  });
});

describe('an advanced player’s week before a set on Saturday', () => {
  const charts = ['weir-hands', 'nine-barges-late', 'third-lantern-down', 'copperwort-lane'].map((name) => ({
    chart: demoChart(name),
    file: `${name}.yaml`,
    inSet: true,
  }));
  const { days } = weeks({
    player: newPlayer(advanced, 1),
    from: monday,
    days: 7,
    minutes: 30,
    charts,
    marks: { start: 'end', steps: {} },
    setDay: monday + 5 * 86_400_000,
  });

  it('leads to it: hard places first, a rest, the set as it is played, and on its day only a warm-up', () => {
    expect(days.map(({ kind }) => kind)).toEqual(['hard', 'time', 'mixed', 'rest', 'run', 'stage', 'after']);
    expectGoodDays(days, 30);
    expect(minutesOf(days[5]?.items ?? [])).toBeLessThanOrEqual(12);
  });

  it('plays on its eve the set’s songs in order at their tempo', () => {
    const songs = days[4]?.items.flatMap((item) =>
      isWhole(item) && item.kind === 'drill' ? [item.drill] : [],
    );
    expect(songs?.map(({ title }) => title)).toEqual(charts.map(({ chart }) => chart.title));
    for (const { chart, start } of songs ?? []) {
      expect(start.share).toBe(1);
      expect(chart.tempo).toEqual(charts.find((one) => one.chart.title === chart.title)?.chart.tempo);
    }
  });

  it('asks for nothing of the path that was never played', () => {
    for (const { items } of days)
      for (const item of items) if (item.kind === 'drill') expect(item.drill.step).toBeUndefined();
  });
});
