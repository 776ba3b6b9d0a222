import { describe, expect, it } from 'vitest';
import { unroll } from '../../src/chart/unroll.js';
import { changesOf } from '../../src/hand/changes.js';
import { mandolin } from '../../src/hand/instrument.js';
import { planHand } from '../../src/hand/plan.js';
import type { DiaryEntry } from '../../src/shed/diary.js';
import { songChart, stepChart, stepDrill } from '../../src/shed/path-drill.js';
import { openSongs, pathSongs } from '../../src/shed/path-songs.js';
import { noMarks, type PathMarks, pathState } from '../../src/shed/path-state.js';
import { leadsTo, pathSteps, stepNamed, stepsBefore } from '../../src/shed/path-steps.js';
import { dueChanges, dueSteps } from '../../src/shed/review.js';
import { keyOf } from '../ui/model.js';

const start = new Date(2026, 5, 1, 18, 0).getTime();
const day = 86_400_000;

function pass(step: string, at: number, changes: Partial<DiaryEntry> = {}): DiaryEntry {
  const { kind, bpm, keys, title } = stepNamed(step) as NonNullable<ReturnType<typeof stepNamed>>;
  return {
    at: start + at,
    what: 'drill',
    drill: kind,
    title,
    file: null,
    changes: [['a>b', '1>4']],
    key: keys[0] ?? '',
    bpm,
    target: bpm,
    pattern: null,
    result: 'clean',
    ms: 30_000,
    step,
    ...changes,
  };
}
const doneOf = (entries: readonly DiaryEntry[], marks: PathMarks = noMarks): readonly string[] => [
  ...pathState(entries, marks).done,
];
const ahead = (entries: readonly DiaryEntry[], marks: PathMarks = noMarks): readonly string[] =>
  pathState(entries, marks).ahead.map(({ step }) => step.id);

describe('the path', () => {
  it('is a graph without circles in which every step comes after those it needs, and all lead to the last', () => {
    pathSteps.forEach(({ id, needs }, index) => {
      const before = pathSteps.slice(0, index).map((one) => one.id);
      for (const need of needs) expect(before).toContain(need);
      expect(stepsBefore(id)).not.toContain(id);
    });
    const last = pathSteps.at(-1)?.id ?? '';
    expect(stepsBefore(last).size).toBe(pathSteps.length - 1);
    expect(leadsTo('song-of-three').map(({ id }) => id)).toEqual([
      'same-shapes-higher',
      'three-fingers',
      'upstroke',
    ]);
    expect(leadsTo(last)).toEqual([]);
  });

  it('has charts that read, with a shape for every chord, in every key of every step and song', () => {
    const charts = [
      ...pathSteps.flatMap((step) => step.keys.map((key) => stepChart(step, keyOf(key), step.bpm, 7))),
      ...pathSongs.flatMap((song) =>
        song.keys.flatMap(({ keys }) => keys.map((key) => songChart(song, keyOf(key), song.bpm))),
      ),
    ];
    expect(charts.length).toBeGreaterThan(30);
    for (const chart of charts) {
      const { changes } = planHand(changesOf(unroll(chart).bars), mandolin, {});
      for (const { fingering } of changes) expect(fingering, chart.title).not.toBeNull();
    }
  });

  it('has of each step only the chords that it says', () => {
    const numbers = (id: string): string => {
      const step = stepNamed(id);
      const bars = step ? unroll(stepChart(step, keyOf('G'), 80, 1)).bars : [];
      return [
        ...new Set(
          bars.flatMap(({ cells }) =>
            cells.map(({ number }) => `${number?.degree}${number?.quality === 'minor' ? '-' : ''}`),
          ),
        ),
      ]
        .sort()
        .join(' ');
    };
    expect(
      ['one-shape', 'home-and-four', 'four-and-five', 'five-and-home', 'song-of-three'].map(numbers),
    ).toEqual(['1', '1 4', '4 5', '1 5', '1 4 5']);
    expect(numbers('minor-neighbours')).toBe('1 2- 5 6-');
  });

  it('gives another song from calls each time, two beats late', () => {
    const step = stepNamed('from-calls');
    if (!step) throw new Error('no step');
    const [one, other] = [1, 2].map((seed) => stepChart(step, keyOf('G'), 100, seed));
    expect(one?.sections).not.toEqual(other?.sections);
    expect(one && stepDrill(step, one, 1).start.late).toBe(2);
  });
});

describe('pathState', () => {
  it('begins at the first step, and goes on by what was played clean at its tempo in a row', () => {
    expect(ahead([])).toEqual(['one-shape']);
    expect(ahead([pass('one-shape', 0)])).toEqual(['one-shape']);
    const two = [pass('one-shape', 0), pass('one-shape', 1)];
    expect(ahead(two)).toEqual(['home-and-four']);
    // A miss between, too slow, another way, nothing said: none of it counts.
    expect(
      ahead([pass('one-shape', 0), pass('one-shape', 1, { result: 'miss' }), pass('one-shape', 2)]),
    ).toEqual(['one-shape']);
    expect(ahead(two.map((one) => ({ ...one, bpm: 70 })))).toEqual(['one-shape']);
    expect(ahead(two.map((one) => ({ ...one, drill: 'damped' })))).toEqual(['one-shape']);
    expect(ahead(two.map((one) => ({ ...one, result: 'unmarked' as const })))).toEqual(['one-shape']);
    expect(
      ahead([pass('one-shape', 0), pass('one-shape', 1, { result: 'unmarked' }), pass('one-shape', 2)]),
    ).toEqual(['home-and-four']);
  });

  it('asks for so many days, and for every key', () => {
    const first = { start: 'home-and-four', steps: {} };
    const four = (on: number): DiaryEntry[] => [pass('home-and-four', on), pass('home-and-four', on + 1)];
    expect(ahead(four(0), first)).toEqual(['home-and-four']);
    expect(ahead([...four(0), ...four(1000)], first)).toEqual(['home-and-four']);
    expect(ahead([...four(0), ...four(day)], first)).toEqual(['four-and-five', 'five-and-home']);
    const higher = { start: 'same-shapes-higher', steps: {} };
    const inKey = (key: string): DiaryEntry[] => [0, 1].map((at) => pass('same-shapes-higher', at, { key }));
    const state = pathState([...inKey('A'), ...inKey('B')], higher).steps.find(
      ({ step }) => step.id === 'same-shapes-higher',
    );
    expect(state).toMatchObject({ done: false, keysDone: ['A', 'B'], key: 'Bb' });
    expect(doneOf([...inKey('A'), ...inKey('B'), ...inKey('Bb')], higher)).toContain('same-shapes-higher');
  });

  it('takes what lies before a step that is done as done, and a start as its word', () => {
    const song = [0, 1, day, day + 1].map((at) => pass('song-of-three', at));
    expect(doneOf(song).toSorted()).toEqual([
      'five-and-home',
      'four-and-five',
      'home-and-four',
      'one-shape',
      'song-of-three',
    ]);
    // Where the player begins comes first, whatever else is open.
    expect(ahead([], { start: 'both-families', steps: {} })).toEqual([
      'both-families',
      'upstroke',
      'minor-neighbours',
    ]);
    expect(ahead([], { start: 'end', steps: {} })).toEqual([]);
    expect(ahead([], { start: 'no-such-step', steps: {} })).toEqual(['one-shape']);
  });

  it('hears what somebody declares', () => {
    const two = [pass('one-shape', 0), pass('one-shape', 1)];
    expect(ahead([], { start: null, steps: { 'one-shape': { as: 'done', at: 0 } } })).toEqual([
      'home-and-four',
    ]);
    const again: PathMarks = { start: null, steps: { 'one-shape': { as: 'again', at: start + 10 } } };
    expect(ahead(two, again)).toEqual(['one-shape']);
    expect(ahead([...two, pass('one-shape', 20), pass('one-shape', 21)], again)).toEqual(['home-and-four']);
  });
});

describe('openSongs', () => {
  it('has a song from the first day on, and more with every step', () => {
    const titles = (done: readonly string[]): string =>
      openSongs(new Set(done))
        .map(({ song, keys }) => `${song.id} ${keys.join('')}`)
        .join(', ');
    expect(titles([])).toBe('lantern-row G');
    expect(titles(['one-shape', 'home-and-four'])).toBe('lantern-row G, two-gates G');
    expect(titles(['song-of-three', 'same-shapes-higher'])).toContain('hinge-and-lantern GABbB');
  });
});

describe('dueSteps', () => {
  it('schedules steps as steps, and their changes not a second time', () => {
    const entries = [pass('home-and-four', 0), pass('home-and-four', 1)];
    const [due] = dueSteps(entries);
    expect(due?.step).toBe('home-and-four');
    expect(due?.card.due.getTime()).toBeGreaterThan(start + day);
    expect(dueChanges(entries)).toEqual([]);
    expect(dueSteps([pass('home-and-four', 0, { drill: 'ring' })])).toEqual([]);
  });
});
