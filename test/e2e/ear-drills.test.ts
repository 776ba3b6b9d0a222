import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { DictationKind } from '../../src/shed/dictation/figures.js';
import { startFromDiary } from '../../src/shed/dictation/from-diary.js';
import { beginDictation, type Round } from '../../src/shed/dictation/round.js';
import { type Arrival, cleanEnv, freshFolder, hanging, noteOns, program, settled, until } from './harness.js';
import type { Screen } from './screen.js';
import { setStage } from './stage.js';

const stage = setStage();
let home: ReturnType<typeof freshFolder>;
beforeEach(() => {
  home = freshFolder();
});
afterEach(() => home.remove());

const own = (): Record<string, string> => ({
  XDG_STATE_HOME: home.path,
  XDG_CONFIG_HOME: home.path,
  XDG_DATA_HOME: home.path,
});

function open(words: string, columns = 80, rows = 24): Screen {
  return stage.open(columns, rows, words, own());
}

function run(words: readonly string[], input = '') {
  return spawnSync(process.execPath, [program, ...words], {
    env: { ...cleanEnv(home.path), ...own() },
    encoding: 'utf8',
    input,
    timeout: 60_000,
  });
}

/** The first phrase that is asked by a seed from an empty diary. */
function asked(asks: DictationKind, seed: number): Round {
  return beginDictation(startFromDiary([], asks, { seed, now: 0, bpm: 240 })).round;
}

const isClick = ({ bytes }: Arrival): boolean => bytes[0] === 0x99;
/** The channels of the voices that begin to sound: bass 0x92, chop 0x91, tune 0x93. */
const sounding = (arrivals: readonly Arrival[]): readonly number[] =>
  [...new Set(noteOns(arrivals).map(({ bytes }) => bytes[0] as number))].sort();

/** A bar of count-in and four of the cadence. */
const ahead = 4 + 16;

/** Waits until so many clicks have sounded. */
async function clicks(heard: () => readonly Arrival[], count: number): Promise<void> {
  expect(await until(() => noteOns(heard()).filter(isClick).length >= count, 30_000)).toBe(true);
}

/** What had sounded when the click of a beat came, and what since. */
function atBeat(arrivals: readonly Arrival[], beat: number): readonly [Arrival[], Arrival[]] {
  const time = noteOns(arrivals).filter(isClick)[beat]?.time ?? Number.POSITIVE_INFINITY;
  return [arrivals.filter((one) => one.time < time), arrivals.filter((one) => one.time >= time)];
}

function diary(): { result: string; dictation: { moves: unknown[]; level: string | null } }[] {
  return readFileSync(join(home.path, 'barkline', 'diary.jsonl'), 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));
}

describe('changes named by ear, in a terminal', () => {
  it('a player who takes 1 to 5 for 4 is found again in the diary', async () => {
    const { questions } = asked('changes', 3);
    const heard = stage.fromNow();
    const shown = open('shed ear --seed 3 --tempo 240', 60, 18);
    await shown.shows('Space begins');
    await shown.press('Space');
    await shown.shows('this is the key');
    const moves: unknown[] = [];
    for (const { from, to, at } of questions) {
      // A beat and more behind the change.
      await clicks(heard, 4 + at + 2);
      const before = shown.text();
      const answer = from === '1' && to === '5' ? '4' : to;
      await shown.press(answer);
      moves.push([from, to, answer, answer === to]);
      // What it was stood nowhere: the last box that has begun is empty.
      expect(before).not.toMatch(new RegExp(`[│] ${to}\\b[^│]*[│] [─━]`, 'u'));
    }
    await shown.shows('next phrase', 20_000);
    const wrong = moves.filter((move) => (move as unknown[])[3] === false).length;
    expect(wrong).toBeGreaterThan(0);
    await shown.shows(`${questions.length - wrong} of ${questions.length} right`);
    await shown.shows('1 to 5: you said 4');
    await settled(heard);
    expect(sounding(heard())).toEqual([0x91, 0x92, 0x99]);
    expect(hanging(heard())).toEqual([]);
    // The change again: bass and chop sound, and nothing more is written.
    const again = stage.fromNow();
    await shown.press('r');
    expect(await until(() => noteOns(again()).some(({ bytes }) => bytes[0] === 0x91), 5000)).toBe(true);
    await shown.shows('hear it again');
    await shown.press('q');
    await shown.shows('ended 0');
    expect(diary()).toHaveLength(1);
    expect(diary()[0]?.dictation).toEqual({ asks: 'changes', level: 'two-bars', moves });
    const { ear } = JSON.parse(run(['diary', '--json']).stdout);
    expect(ear.changes.level).toBe('two-bars');
    expect(ear.changes.moves[0]).toEqual({
      from: '1',
      to: '5',
      asked: wrong,
      right: 0,
      none: 0,
      takenFor: [{ number: '4', times: wrong }],
    });
    expect(run(['diary']).stdout).toMatch(new RegExp(`^ {4}1 +5 +0 of ${wrong} +4 `, 'm'));
    // What is misheard is what the next sitting brings, and says so.
    const today = JSON.parse(run(['shed', 'today', '--json', '--day', 'new']).stdout);
    expect(today.items.find((item: { drill?: string }) => item.drill === 'ear-changes')?.why).toBe(
      `1 to 5, taken for 4: ${wrong} of ${wrong} times`,
    );
  });

  it('of the bass only the bass sounds after the cadence', async () => {
    const heard = stage.fromNow();
    const shown = open('shed ear bass --seed 3 --tempo 240');
    await shown.shows('Space begins');
    await shown.press('Space');
    await clicks(heard, ahead + 24);
    await shown.press('q');
    await shown.shows('ended 0');
    const [key, phrase] = atBeat(heard(), ahead);
    expect(sounding(key)).toEqual([0x91, 0x92, 0x99]);
    expect(sounding(phrase)).toEqual([0x92, 0x99]);
    expect(hanging(heard())).toEqual([]);
  });

  it('with a tune over it bass, chop and tune sound after the cadence, the tune not before', async () => {
    const heard = stage.fromNow();
    const shown = open('shed ear --tune --seed 3 --tempo 240', 60, 18);
    await shown.shows('a tune over it');
    await shown.press('Space');
    await clicks(heard, ahead + 12);
    await shown.press('q');
    await shown.shows('ended 0');
    const [key, phrase] = atBeat(heard(), ahead);
    expect(sounding(key)).toEqual([0x91, 0x92, 0x99]);
    expect(sounding(phrase)).toEqual([0x91, 0x92, 0x93, 0x99]);
    expect(hanging(heard())).toEqual([]);
  });

  it('of a tune only the tune sounds after the cadence', async () => {
    const chart = join(home.path, 'tune.yaml');
    writeFileSync(
      chart,
      'title: Reed Bank\nkey: G\ntempo: 200\nform: V\nsections:\n  V: |\n    1 1 4 1\n    6- 4 5 1\ntune:\n  V: |\n    G2 B2 d2 B2 | B2 A2 G4 | c2 e2 e2 c2 | d4 B4 |\n    e2 g2 e2 d2 | c2 e2 g4 | f2 d2 A2 d2 | G8 |\n',
    );
    const heard = stage.fromNow();
    const shown = open(`shed ear tune --chart ${chart} --seed 3 --tempo 240`);
    await shown.shows('Space begins');
    await shown.press('Space');
    await clicks(heard, ahead + 12);
    expect(shown.text()).not.toContain('Reed Bank');
    await shown.press('q');
    await shown.shows('ended 0');
    const [key, phrase] = atBeat(heard(), ahead);
    expect(sounding(key)).toEqual([0x91, 0x92, 0x99]);
    expect(sounding(phrase)).toEqual([0x93, 0x99]);
    expect(hanging(heard())).toEqual([]);
  });
});

describe('changes named by ear, typed', () => {
  it('each change has a line, nothing is told before, and the phrase goes into the diary', () => {
    const { questions } = asked('changes', 5);
    const answers = questions.map(({ to }) => to);
    const words = [
      'shed',
      'ear',
      '--plain',
      '--seed',
      '5',
      '--tempo',
      '400',
      '--count',
      '1',
      '--out',
      'none',
    ];
    const { stdout, status } = run(words, `nonsense\n${answers.join('\n')}\n`);
    expect(status).toBe(0);
    expect(stdout).toContain(`${questions.length} of ${questions.length} right`);
    const sounds = stdout.slice(0, stdout.indexOf('   right'));
    expect(sounds.match(/^bar \d+$/gm)).toHaveLength(12);
    expect(diary()[0]).toMatchObject({ result: 'clean', dictation: { level: 'two-bars' } });
  });

  it('the end of the input ends it, and what was answered until then is kept', () => {
    const [first] = asked('changes', 5).questions;
    const words = ['shed', 'ear', '--plain', '--seed', '5', '--tempo', '400', '--out', 'none'];
    const { stdout, status } = run(words, `${first?.to}\n`);
    expect(status).toBe(0);
    expect(stdout.trim().endsWith('1 of 1 right')).toBe(true);
    expect(diary()[0]).toMatchObject({
      result: 'unmarked',
      dictation: { moves: [[first?.from, first?.to, first?.to, true]] },
    });
    // Nobody typed anything: nothing is kept.
    const more = run(words, '');
    expect(more.status).toBe(0);
    expect(diary()).toHaveLength(1);
  });
});

it('a sitting from an empty diary has changes by ear, from the first level on', () => {
  const { items } = JSON.parse(run(['shed', 'today', '--json', '--minutes', '20']).stdout);
  const ear = items.find((item: { drill?: string }) => item.drill === 'ear-changes');
  expect(ear).toMatchObject({ title: 'changes by ear', key: null, target: 120 });
  expect(ear.why).toBe('new: level 1, 1, 4 and 5, each for two bars');
  expect(existsSync(join(home.path, 'barkline', 'diary.jsonl'))).toBe(false);
});
