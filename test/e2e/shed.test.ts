import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  type Arrival,
  cleanEnv,
  demo,
  freshFolder,
  hanging,
  noteOns,
  program,
  settled,
  until,
} from './harness.js';
import type { Screen } from './screen.js';
import { setStage } from './stage.js';

const stage = setStage();
const { fromNow } = stage;

/** The program with a home of its own. */
function open(home: string, words: string): Screen {
  return stage.open(100, 30, words, { XDG_STATE_HOME: home, XDG_CONFIG_HOME: home, XDG_DATA_HOME: home });
}

function run(home: string, ...words: string[]) {
  return spawnSync(process.execPath, [program, ...words], { env: cleanEnv(home), encoding: 'utf8' });
}

function diary(home: string): { result: string; drill: string | null; bpm: number; title: string }[] {
  return readFileSync(join(home, 'barkline', 'diary.jsonl'), 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));
}

const voices = (heard: readonly Arrival[]): string =>
  [
    ...new Set(
      noteOns(heard).map(
        ({ bytes }) => ({ 153: 'click', 144: 'low', 145: 'chop', 146: 'bass' })[bytes[0] ?? 0] ?? '?',
      ),
    ),
  ]
    .sort()
    .join(' ');

describe('every drill started from the stand', () => {
  // What is heard of each: the list of drills and their voices as the handbook has them.
  const drills: readonly (readonly [kind: string, title: string, heard: string])[] = [
    ['pair', '1 and 5 of Weir Hands', 'bass click'],
    ['pairs', 'pairs of Weir Hands', 'bass click'],
    ['six-ways', 'six ways between 1, 4 and 5 in B', 'bass click'],
    ['phrase', 'bars 1 to 4 of Weir Hands', 'bass click'],
    ['chain', 'bars 1 to 4 of Weir Hands, from the end', 'bass click'],
    ['ring', 'Weir Hands, one stroke a chord', 'chop click'],
    ['order', 'the order of Weir Hands', 'click'],
    ['lift', 'lift and land in B', 'click'],
    ['fret', 'Weir Hands, fretting hand alone', 'click'],
    ['fourths', 'Weir Hands through 12 keys', 'bass click'],
    ['halfsteps', 'Weir Hands through 12 keys', 'bass click'],
    ['shuffled', 'Weir Hands through 12 keys', 'bass click'],
    ['damped', 'Weir Hands, picking hand alone', 'chop click low'],
    ['chop-damped', 'the chop on damped courses in B', 'chop click'],
    ['chop-shape', 'the chop on one shape in B', 'chop click'],
    ['chop-low', 'low note and chop alone in B', 'chop click low'],
    ['chop-up', 'the upstroke after the chop in B', 'chop click low'],
    ['steady', 'steady time in B', 'click'],
    ['gaps', 'Weir Hands, click now and then', 'click'],
  ];
  drills.forEach(([kind, title, voiced], index) => {
    it(`${kind} is heard as it is described`, async () => {
      const home = freshFolder();
      const heard = fromNow();
      const shown = open(home.path, `play ${demo('weir-hands')}`);
      await shown.shows('ready');
      await shown.press('d');
      await shown.shows('two chords back and forth');
      await shown.press(...Array.from({ length: index }, () => 'Down'), 'Enter');
      await shown.shows(new RegExp(`^ ${title}.*ready`, 'm'));
      // Those of the chop and of the hand begin at 60, which is long to listen to.
      if (/chop|lift/.test(kind)) await shown.press('%', '1', '5', '0', 'Enter');
      await shown.press('Space');
      await shown.shows('pass 1');
      // Ten beats after the count-in.
      expect(
        await until(() => noteOns(heard()).filter(({ bytes }) => bytes[0] === 0x99).length >= 14, 20_000),
      ).toBe(true);
      await shown.press('Space');
      await shown.shows(/paused|clean\?/);
      await settled(heard);
      const ons = heard();
      expect(voices(ons)).toBe(voiced);
      const clicks = noteOns(ons)
        .filter(({ bytes }) => bytes[0] === 0x99)
        .map(({ time }) => time);
      const gaps = clicks.slice(1).map((time, at) => time - (clicks[at] as number));
      // A click that quickens gets shorter; one with silent bars has gaps of two bars; the others are even.
      if (kind === 'fret' || kind === 'lift') expect(gaps.at(-1)).toBeLessThan((gaps[1] as number) - 2);
      else if (kind === 'gaps') expect(Math.max(...gaps)).toBeGreaterThan(8 * Math.min(...gaps));
      // Before the chop, with a click on every beat, comes the squeeze, on 2 and 4 only.
      else if (kind !== 'chop-shape') expect(Math.max(...gaps) - Math.min(...gaps)).toBeLessThan(25);
      expect(hanging(ons)).toEqual([]);
      await shown.press('q');
      await shown.shows('ended 0');
      home.remove();
    });
  });
});

describe('practice from the first day on', () => {
  it('climbs by what the player says, hands free, and keeps it in the diary', async () => {
    const home = freshFolder();
    mkdirSync(join(home.path, 'barkline'));
    // From the target itself, up after one: two clean passes are enough for the test.
    writeFileSync(join(home.path, 'barkline', 'settings.yaml'), 'ladder: from 90%, up after 1\n');
    const shown = open(home.path, `play ${demo('weir-hands')}`);
    await shown.shows('ready');
    await shown.press('d');
    await shown.shows('two chords');
    await shown.press('Enter');
    await shown.shows('227 ♩  90%');
    await shown.press('Space');
    await shown.shows('clean?', 20_000);
    await shown.press('NPage');
    await shown.shows('252 ♩', 5000);
    await shown.shows('clean?', 20_000);
    await shown.press('PPage');
    await shown.shows(/2[34]\d ♩/, 5000);
    await shown.press('q');
    await shown.shows('ended 0');
    expect(diary(home.path).map(({ result, drill, bpm }) => `${result} ${drill} ${bpm}`)).toEqual([
      'clean pair 227',
      'miss pair 252',
    ]);
    const told = run(home.path, 'diary', '--json');
    expect(JSON.parse(told.stdout)).toMatchObject({ passes: 2, setAside: [] });
    expect(run(home.path, 'diary').stdout).toContain('227 holds of 252');
    expect(run(home.path, 'diary', '--csv').stdout.split('\n')[1]).toMatch(
      /,drill,pair,1 and 5 of Weir Hands,B,227,252,/,
    );
    home.remove();
  });

  it('a sitting begins with a card, and plays its warm-up by itself', async () => {
    const home = freshFolder();
    const shown = open(home.path, 'shed today --minutes 4');
    const card = await shown.shows('Sitting, 1 of 3');
    expect(card).toContain('Why: warm-up');
    expect(card).toContain('clinician');
    await shown.shows('fretting hand alone', 12_000);
    await shown.shows('pass 1', 20_000);
    await shown.press('Escape');
    await shown.shows('ended 0');
    home.remove();
  });

  it('a student’s diary and settings are apart', () => {
    const home = freshFolder();
    mkdirSync(join(home.path, 'barkline', 'who', 'Ansa'), { recursive: true });
    writeFileSync(join(home.path, 'barkline', 'who', 'Ansa', 'settings.yaml'), 'target: 50%\n');
    const answers = spawnSync(
      process.execPath,
      [program, 'shed', 'numbers', '--count', '1', '--seed', '1', '--who', 'Ansa'],
      {
        env: cleanEnv(home.path),
        input: 'no idea\n',
        encoding: 'utf8',
      },
    );
    expect(answers.stdout).toContain('0 of 1 right');
    expect(run(home.path, 'diary', '--who', 'Ansa', '--json').stdout).toContain('"passes":1');
    expect(run(home.path, 'diary', '--json').stdout).toContain('"passes":0');
    const week = run(home.path, 'shed', 'plan', 'Ansa', '--text').stdout;
    expect(week).toMatch(/^Practice for Ansa, the week from \d{4}-\d\d-\d\d/);
    expect(week.match(/about \d+ minutes/g)).toHaveLength(6);
    expect(week.match(/rest: leave the instrument/g)).toHaveLength(1);
    expect(week).toContain('clinician');
    expect(run(home.path, 'diary', '--who', '../x').status).toBe(2);
    home.remove();
  });
});

describe('shed without a terminal', () => {
  it('prints a chart nobody has seen, the same for the same seed, that checks', () => {
    const home = freshFolder();
    const unseen = (): string =>
      run(home.path, 'shed', 'unseen', '--seed', '7', '--key', 'Bb', '--level', 'hard').stdout;
    expect(unseen()).toBe(unseen());
    const file = join(home.path, 'unseen.yaml');
    writeFileSync(file, unseen());
    expect(
      execFileSync(process.execPath, [program, 'check', file], {
        encoding: 'utf8',
        env: cleanEnv(home.path),
      }),
    ).toContain('no fault');
    expect(run(home.path, 'shed', 'unseen', '--level', 'hrad').stderr).toContain('did you mean “hard”');
    home.remove();
  });

  it('plans today with reasons, as text and as JSON', () => {
    const home = freshFolder();
    const told = run(home.path, 'shed', 'today', '--minutes', '12').stdout;
    expect(told).toContain('why: warm-up');
    expect(told).toContain('rest a minute in every ten');
    const json = JSON.parse(run(home.path, 'shed', 'today', '--minutes', '12', '--json').stdout);
    expect(json.items[0]).toMatchObject({ kind: 'drill', drill: 'fret', minutes: 2 });
    expect(json.items[1]).toMatchObject({ kind: 'drill', step: 'one-shape', key: 'G' });
    expect(json.items.at(-1)).toMatchObject({ drill: 'song', title: 'Lantern Row' });
    home.remove();
  });

  it('lets somebody who is further on begin elsewhere on the path, and the diary says where one stands', () => {
    const home = freshFolder();
    expect(run(home.path, 'shed', 'path').stdout).toMatch(/^next +one-shape/);
    const begun = run(home.path, 'shed', 'path', '--start', 'song-of-three').stdout;
    expect(begun).toMatch(/^next +song-of-three/m);
    expect(begun).toContain('4 of 12 steps of the path are done');
    const json = JSON.parse(run(home.path, 'shed', 'today', '--json').stdout);
    expect(json.items[1]).toMatchObject({ step: 'song-of-three' });
    writeFileSync(
      join(home.path, 'barkline', 'diary.jsonl'),
      `${JSON.stringify({ v: 1, at: Date.now(), what: 'drill', drill: 'song', title: 'Hinge and Lantern', file: null, changes: [], key: 'G', bpm: 64, target: 80, pattern: null, result: 'clean', ms: 60000, step: 'song-of-three', plan: 'Tuesday' })}\n`,
    );
    expect(run(home.path, 'diary').stdout).toContain('last clean at 64');
    expect(run(home.path, 'diary', '--csv', '--plan', 'Tuesday').stdout).toMatch(
      /,60,song-of-three,Tuesday,{9}\n$/,
    );
    expect(run(home.path, 'diary', '--csv', '--plan', 'Monday').stdout.trim().split('\n')).toHaveLength(1);
    const wrong = run(home.path, 'shed', 'path', '--start', 'song-of-tree');
    expect([wrong.status, wrong.stderr]).toEqual([
      2,
      expect.stringContaining('did you mean “song-of-three”'),
    ]);
    home.remove();
  });

  it('writes a week as a file that checks, can be changed, and runs', () => {
    const home = freshFolder();
    const file = join(home.path, 'week.yaml');
    expect(run(home.path, 'shed', 'plan', 'Ansa', '-o', file).status).toBe(0);
    expect(run(home.path, 'shed', 'plan', 'Ansa', '-o', file).status).toBe(2);
    expect(run(home.path, 'check', file).stdout).toContain('no fault');
    const json = JSON.parse(run(home.path, 'shed', 'today', '--plan', file, '--json').stdout);
    expect(json.items[1]).toMatchObject({ step: 'one-shape', why: expect.stringContaining('new') });
    writeFileSync(file, readFileSync(file, 'utf8').replace('minutes: 3', 'minutes: drei'));
    const wrong = run(home.path, 'shed', 'today', '--plan', file, '--check');
    expect([wrong.status, wrong.stderr]).toEqual([
      1,
      expect.stringMatching(/week\.yaml:\d+:18: error: minutes “drei”/),
    ]);
    expect(run(home.path, 'show', file).stderr).toContain('this is a practice plan');
    writeFileSync(file, 'plan: Monday\ndays:\n  - day: 2020-01-06\n    do:\n      - step: one-shape\n');
    const other = run(home.path, 'shed', 'today', '--plan', file);
    expect([other.status, other.stderr]).toEqual([2, expect.stringContaining('the plan has 2020-01-06')]);
    expect(run(home.path, 'shed', 'today', '--plan', file, '--date', '2020-01-06').stdout).toContain(
      'The chop on one shape',
    );
    home.remove();
  });

  it('writes the path as sheets, with marks to be filled in', () => {
    const home = freshFolder();
    const sheet = run(home.path, 'shed', 'path', '--to', 'text', '--blank', 'shapes', '--marks').stdout;
    expect(sheet.match(/How it went/g)).toHaveLength(12);
    expect(sheet).toContain('Done: 2 clean in a row at 76, in G.');
    expect(run(home.path, 'export', demo('weir-hands'), '--to', 'text').stdout).not.toContain('How it went');
    const path = join(home.path, 'path.pdf');
    expect(run(home.path, 'shed', 'path', '--to', 'pdf', '--marks', '-o', path).status).toBe(0);
    expect(readFileSync(path).subarray(0, 5).toString()).toBe('%PDF-');
    home.remove();
  });

  it('prints any drill of a chart as a chart, and says which there are', () => {
    const home = freshFolder();
    expect(run(home.path, 'shed', 'drill', demo('weir-hands')).stdout).toContain('halfsteps');
    expect(run(home.path, 'shed', 'drill', demo('weir-hands'), 'pair').stdout).toContain(
      '  pair: |\n    1 5 1 5',
    );
    const wrong = run(home.path, 'shed', 'drill', demo('weir-hands'), 'pear');
    expect(wrong.status).toBe(2);
    expect(wrong.stderr).toContain('did you mean “pair”');
    home.remove();
  });
});
