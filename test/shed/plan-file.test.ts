import { describe, expect, it } from 'vitest';
import { mandolin } from '../../src/hand/instrument.js';
import type { Drill } from '../../src/shed/drill.js';
import { noMarks } from '../../src/shed/path-state.js';
import { isPlanText, readPlan } from '../../src/shed/plan-file.js';
import { dayFor, itemsOfDay } from '../../src/shed/plan-items.js';
import { planText } from '../../src/shed/plan-write.js';
import type { SittingItem } from '../../src/shed/sitting-item.js';
import { dayOf } from '../../src/shed/summary.js';
import { drillOfTask } from '../../src/shed/task-drill.js';
import { weekPlan } from '../../src/shed/week-plan.js';
import { keyName } from '../../src/theory/key.js';
import { demoChart } from '../ui/model.js';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const faultsOf = (text: string): readonly string[] =>
  readPlan(bytes(text)).faults.map(({ line, column, message }) => `${line}:${column} ${message}`);

const charts = ['weir-hands', 'nine-barges-late'].map((name) => ({
  chart: demoChart(name),
  file: `/own/${name}.yaml`,
  inSet: true,
}));
const sources = {
  chartOf: (file: string) => charts.find((one) => one.file === file)?.chart ?? null,
  seed: 1,
};

/** An item as the player sees it. */
function seen(item: SittingItem): string {
  if (item.kind === 'rest') return `rest ${item.seconds}`;
  const { chart, start, title, kind, step } = item.drill;
  const from = Math.round(chart.tempo.bpm * start.share);
  // What is named by ear is in another key each time.
  const key = item.drill.dictation ? '' : keyName(chart.key);
  return [kind, step, title, key, item.minutes, from, chart.tempo.bpm, item.why].join(' | ');
}

describe('a plan that was written', () => {
  it.each([
    ['a beginner', noMarks, null],
    ['a player with a set', { start: 'end', steps: {} }, 5],
  ] as const)('reads back as the same sittings, for %s', (_, marks, away) => {
    const now = new Date(2026, 5, 1, 18, 0).getTime();
    const days = weekPlan(
      { entries: [], marks, charts, minutes: 30, now, instrument: mandolin, plan: {}, target: 1 },
      away === null ? null : now + away * 86_400_000,
    );
    const text = planText('A week: “new”, #1', 'Ansa', days);
    expect(isPlanText(bytes(text))).toBe(true);
    const read = readPlan(bytes(text));
    expect(read.faults).toEqual([]);
    if (!read.ok) throw new Error('it does not read');
    expect(read.value).toMatchObject({ title: 'A week: “new”, #1', who: 'Ansa' });
    days.forEach(({ at, kind, items }) => {
      const day = dayFor(read.value.days, dayOf(at));
      expect(day?.kind).toBe(kind);
      const made = day && itemsOfDay(day, sources, read.value.title);
      expect(made?.faults).toEqual([]);
      expect(made?.items.map(seen)).toEqual(items.map(seen));
      for (const item of made?.items ?? [])
        if (item.kind === 'drill') expect(item.drill.plan).toBe('A week: “new”, #1');
    });
  });
});

describe('readPlan', () => {
  it('reads a sitting of one day as somebody writes it', () => {
    const read = readPlan(
      bytes(
        'plan: Tuesday\nfor: Ansa\ndo:\n  - step: one-shape\n    minutes: 3\n    tempo: 60\n  - rest: 30\n  - chords: 1 6-\n    key: A\n    tempo: 60 to 90\n',
      ),
    );
    if (!read.ok) throw new Error(read.faults.map(({ message }) => message).join());
    const [day] = read.value.days;
    const { items } = itemsOfDay(day ?? { date: null, kind: null, entries: [] }, sources, 'Tuesday');
    expect(items.map(seen)).toEqual([
      'phrase | one-shape | The chop on one shape | G | 3 | 60 | 60 | as it was laid out',
      'rest 30',
      'pair |  | 1 and 6-, by themselves | A | 2 | 60 | 90 | as it was laid out',
    ]);
  });

  it('tells every fault at its place, with the name that was meant', () => {
    expect(faultsOf('plan: P\ndo:\n  - step: one-shap\n')[0]).toMatch(
      /^3:11 “one-shap” is not a step of the path; did you mean “one-shape”\?/,
    );
    expect(faultsOf('plan: P\ndo:\n  - step: one-shape\n    drill: dampt\n')[0]).toMatch(
      /^4:12 “dampt” is not a drill of a plan; did you mean “damped”\?/,
    );
    expect(faultsOf('plan: P\ndo:\n  - step: one-shape\n    temper: 70\n')[0]).toMatch(
      /^4:5 “temper” is not a field of a thing to do; did you mean “tempo”\?/,
    );
    expect(faultsOf('plan: P\ndo:\n  - step: one-shape\n    tempo: 90 to 60\n')[0]).toMatch(
      /^4:12 tempo “90 to 60” is not a tempo from 20 to 400/,
    );
    expect(faultsOf('plan: P\ndo:\n  - step: one-shape\n    minutes: 90\n')[0]).toMatch(
      /^4:14 minutes “90” is not a number/,
    );
    expect(faultsOf('plan: P\ndo:\n  - step: one-shape\n    rest: 4\n')[0]).toMatch(
      /^3:5 it is step and rest at the same time/,
    );
    expect(faultsOf('plan: P\ndo:\n  - chart: a.yaml\n    drill: pair\n')[0]).toMatch(
      /^4:12 a pair has two numbers/,
    );
    expect(faultsOf('plan: P\ndays:\n  - day: 2026-13-01\n    kind: rest\n')[0]).toMatch(
      /^3:10 day “2026-13-01” is not a date/,
    );
    expect(faultsOf('plan: P\ndays:\n  - kind: resst\n')[0]).toMatch(
      /^3:11 “resst” is not a kind of day; did you mean “rest”\?/,
    );
    expect(faultsOf('plan: P\n')[0]).toContain('there is nothing to do');
  });

  it('leaves nothing out in silence: what cannot be made is told with its place', () => {
    const read = readPlan(bytes('plan: P\ndo:\n  - chart: nowhere.yaml\n    minutes: 2\n'));
    if (!read.ok) throw new Error('it does not read');
    const [day] = read.value.days;
    const { items, faults } = itemsOfDay(day ?? { date: null, kind: null, entries: [] }, sources, 'P');
    expect(items).toEqual([]);
    expect(faults).toMatchObject([{ line: 3, column: 5, severity: 'error' }]);
    expect(faults[0]?.message).toContain('no chart nowhere.yaml');
  });
});

describe('what is named by ear in a plan', () => {
  const day = (...lines: string[]): string =>
    ['plan: x', 'do:', '  - ear: changes', ...lines.map((line) => `    ${line}`), ''].join('\n');
  const taskOf = (text: string) => {
    const read = readPlan(bytes(text));
    const [entry] = read.ok ? (read.value.days[0]?.entries ?? []) : [];
    return entry?.kind === 'task' ? entry.task : null;
  };

  it('has a tune over it, none, or as the level has it', () => {
    expect(taskOf(day('tune: yes'))).toEqual({ kind: 'ear', asks: 'changes', tune: true });
    expect(taskOf(day('tune: no'))).toEqual({ kind: 'ear', asks: 'changes', tune: false });
    expect(taskOf(day())).toEqual({ kind: 'ear', asks: 'changes', tune: null });
    expect(faultsOf(day('tune: yes'))).toEqual([]);
  });

  it('is made so, and written so', () => {
    const task = { kind: 'ear', asks: 'changes', tune: true } as const;
    const ear = { entries: [], now: 0, tunes: [] };
    const drill = drillOfTask({ task, key: null, tempo: null, minutes: 2 }, { ...sources, ear });
    expect(drill?.chart.tune).toHaveLength(1);
    const item = { kind: 'drill', drill: drill as Drill, minutes: 2, why: 'new', task } as const;
    const text = planText('x', 'Ansa', [{ at: 0, kind: 'new', items: [item] }]);
    expect(text).toContain('- ear: changes\n        tune: yes\n');
    expect(taskOf(text)).toEqual(task);
  });

  it.each([
    [day('tune: perhaps'), '4:11 tune “perhaps” is neither yes nor no'],
    [
      day('tune: yes').replace('ear: changes', 'ear: bass'),
      '4:11 only changes by ear have a tune; leave “tune” out of bass',
    ],
    [
      day('tune: yes').replace('ear: changes', 'chords: 1 4'),
      '4:11 only drills by ear have a tune; leave “tune” out',
    ],
  ])('with its faults', (text, fault) => {
    expect(faultsOf(text)).toEqual([fault]);
  });
});
