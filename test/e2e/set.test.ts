import { execFileSync, spawnSync } from 'node:child_process';
import { closeSync, mkdirSync, openSync, readFileSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  type Arrival,
  cleanEnv,
  demo,
  freshFolder,
  hanging,
  noteOffs,
  noteOns,
  pause,
  program,
  settled,
  until,
} from './harness.js';
import type { Screen } from './screen.js';
import { setStage } from './stage.js';

const stage = setStage();
const { fromNow } = stage;

/** Six demo charts, each in a short form, so that an evening lasts a minute. */
function shortSet(gap: string): string {
  const songs: readonly (readonly [name: string, key: string, form: string, program: string])[] = [
    ['weir-hands', 'A', 'V', '12'],
    ['third-lantern-down', 'G', 'C', '13, channel 6'],
    ['nine-barges-late', 'Bb', 'kickoff', '14'],
    ['osier-and-twine', 'E', 'kickoff', '15'],
    ['sluice-gate-morning', 'A', 'tag', '16'],
    ['tollhouse-kettle', 'D', 'B', '17'],
  ];
  const entries = songs.map(
    ([name, key, form, number]) =>
      `  - file: ${demo(name)}\n    key: ${key}\n    form: ${form}\n    program: ${number}\n    gap: ${gap}\n`,
  );
  return `title: Short evening\ncharts:\n${entries.join('')}`;
}

/** A home with a set in it, and the program run there. */
function home(set: string) {
  const folder = freshFolder();
  const file = join(folder.path, 'set.yaml');
  writeFileSync(file, set);
  const env = { XDG_STATE_HOME: folder.path, XDG_CONFIG_HOME: folder.path, XDG_DATA_HOME: folder.path };
  return {
    ...folder,
    file,
    open: (words: string): Screen => stage.open(100, 30, words, env),
    run: (...words: string[]) =>
      spawnSync(process.execPath, [program, ...words], { env: cleanEnv(folder.path), encoding: 'utf8' }),
    settings: (text: string): void => {
      mkdirSync(join(folder.path, 'barkline'), { recursive: true });
      writeFileSync(join(folder.path, 'barkline', 'settings.yaml'), text);
    },
    diary: (): { what: string; title: string; key: string; bpm: number; set?: string; bar?: number }[] =>
      readFileSync(join(folder.path, 'barkline', 'diary.jsonl'), 'utf8')
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line)),
  };
}

/** What was heard, a word a message: pulses run together, notes left out but for the first click of each song. */
function told(heard: readonly Arrival[]): string[] {
  const words: string[] = [];
  let counted = false;
  for (const { bytes } of heard) {
    const [status = 0, data1 = 0] = bytes;
    const word =
      status === 0xf8
        ? 'pulses'
        : status === 0xfa
          ? 'start'
          : status === 0xfc
            ? 'stop'
            : (status & 0xf0) === 0xc0 && (status & 15) !== 2
              ? `program ${data1 + 1} on ${(status & 15) + 1}`
              : status === 0x99 && !counted
                ? 'count'
                : '';
    if (word === 'count') counted = true;
    if (word === 'stop') counted = false;
    if (word !== '' && !(word === 'pulses' && words.at(-1) === 'pulses')) words.push(word);
  }
  return words;
}

describe('a set', () => {
  it('of six demo charts runs to its end at 240 without a key pressed', async () => {
    const place = home(shortSet('2'));
    const heard = fromNow();
    const shown = place.open(`play ${place.file} --tempo 240 --send-clock`);
    const card = await shown.shows('begins in');
    stage.capture('set-card', card);
    expect(card).toContain('Weir Hands');
    expect(card).toContain('then: Third Lantern Down in G, after 2 s');
    await shown.shows('That was the set.', 120_000);
    stage.capture('set-over', shown.text());
    await settled(heard);
    const all = heard();
    expect(hanging(all)).toEqual([]);
    expect(noteOffs(all).length).toBeGreaterThanOrEqual(noteOns(all).length);
    // At each card the programs and the tempo; then the count, the start with the music, and a stop at its end.
    const song = (...programs: string[]): string[] => [...programs, 'pulses', ...programs];
    const own = (number: number): string[] => song(`program ${number} on 1`, `program ${number} on 2`);
    const words = told(all);
    expect(words.slice(0, words.indexOf('count'))).toEqual(
      expect.arrayContaining(['program 12 on 1', 'program 12 on 2', 'pulses']),
    );
    expect(words.filter((word) => word === 'count' || word === 'start' || word === 'stop')).toEqual(
      Array.from({ length: 6 }, () => ['count', 'start', 'stop']).flat(),
    );
    for (const number of [14, 15, 16, 17])
      expect(words.join(', ')).toContain(own(number).slice(0, 3).join(', '));
    expect(words).toContain('program 13 on 6');
    await shown.press('Space');
    await stage.expectLeft(shown);
    expect(place.diary().map(({ title, key, bpm, set }) => [title, key, bpm, set])).toEqual([
      ['Weir Hands', 'A', 240, 'Short evening'],
      ['Third Lantern Down', 'G', 240, 'Short evening'],
      ['Nine Barges Late', 'Bb', 240, 'Short evening'],
      ['Osier and Twine', 'E', 240, 'Short evening'],
      ['Sluice Gate Morning', 'A', 240, 'Short evening'],
      // Counted in halves, as the chart counts: 240 halves are 480 quarters.
      ['The Tollhouse Kettle', 'D', 480, 'Short evening'],
    ]);
    const text = place.run('diary').stdout;
    expect(text).toContain('Short evening: 6 songs');
    expect(text).toContain('Nine Barges Late, Bb, 240 quarters a minute');
    // It came to its end: there is nothing to take up.
    const resumed = place.run('play', place.file, '--resume', '--plain');
    expect(resumed.status).toBe(2);
    expect(resumed.stderr).toContain('there is no interrupted run of Short evening');
    place.remove();
  });

  it('runs with a pedal only: begins, goes once more, ends, marks, goes on', async () => {
    const place = home(shortSet('wait'));
    place.settings(
      'pedals:\n  play: control 64\n  extend: control 65\n  ending: control 65, long\n  later: note 60\n  next: program 3\n',
    );
    const pedals = join(place.path, 'pedals');
    execFileSync('mkfifo', [pedals]);
    const writer = openSync(pedals, 'r+');
    const press = async (...bytes: number[]): Promise<void> => {
      writeSync(writer, Uint8Array.from(bytes));
      await pause(60);
    };
    const step = async (control: number): Promise<void> => {
      await press(0xb0, control, 127);
      await press(0xb0, control, 0);
    };
    const heard = fromNow();
    const shown = place.open(`play ${place.file} --tempo 240 --pedal raw:${pedals}`);
    await shown.shows('Space or the pedal begins');
    await step(64);
    await shown.shows('pass 1 of 1');
    await step(65);
    await shown.shows('V once more');
    await press(0x90, 60, 100);
    await shown.shows('is marked: look at it later');
    await step(64);
    await shown.shows('paused');
    await step(64);
    await shown.shows(/count \d/);
    await shown.shows(/^ {2}Third Lantern Down/m, 40_000);
    await step(64);
    await shown.shows('pass 1 of 1');
    // A program change leaves the song for the next card.
    await press(0xc0, 2);
    await shown.shows(/^ {2}Nine Barges Late/m);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    await shown.press('C-c');
    await stage.expectLeft(shown);
    closeSync(writer);
    expect(place.diary().map(({ what, title, bar }) => [what, title, bar === undefined])).toEqual([
      ['later', 'Weir Hands', false],
      ['chart', 'Weir Hands', true],
      ['chart', 'Third Lantern Down', true],
    ]);
    const today = place.run('shed', 'today', '--minutes', '10').stdout;
    expect(today).toMatch(/why: marked on \d{4}-\d\d-\d\d in Short evening, at bar \d: look at this later/);
    place.remove();
  });

  it('that was killed is taken up again at the song it had come to', async () => {
    const place = home(shortSet('1'));
    const heard = fromNow();
    const shown = place.open(`play ${place.file} --tempo 240`);
    await shown.shows(/2 of 6; then/, 40_000);
    process.kill(shown.programPid(), 'SIGKILL');
    // What the shell says of it may land on the screen that is left behind.
    expect(await until(() => !shown.state().alternate)).toBe(true);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    stage.clear();
    const again = place.open(`play ${place.file} --tempo 240`);
    // Who only looks leaves it as it is.
    await again.shows('This set was stopped at song 2 of 6: Third Lantern Down.');
    await again.press('C-c');
    await stage.expectLeft(again);
    stage.clear();
    const second = place.open(`play ${place.file} --tempo 240 --resume`);
    await second.shows('continuing at song 2 of 6');
    await second.press('n');
    await second.shows(/^ {2}Nine Barges Late/m);
    await second.press('C-c');
    await stage.expectLeft(second);
    stage.clear();
    const third = place.open(`play ${place.file} --tempo 240 --resume`);
    const card = await third.shows('continuing at song 3 of 6');
    expect(card).toContain('Space or the pedal begins');
    await third.press('Space');
    await third.shows('3 of 6; then Osier and Twine in E');
    await third.press('Escape');
    await third.shows('Esc again leaves the set');
    await third.press('Escape');
    await stage.expectLeft(third);
    stage.clear();
    const fourth = place.open(`play ${place.file} --tempo 240`);
    await fourth.shows('stopped at song 3 of 6');
    await fourth.press('Space');
    await fourth.shows('continuing at song 3 of 6');
    await fourth.press('C-c');
    await stage.expectLeft(fourth);
    stage.clear();
    const fifth = place.open(`play ${place.file} --tempo 240`);
    await fifth.shows('stopped at song 3 of 6');
    await fifth.press('d');
    await fifth.shows('1 of 6');
    await fifth.press('C-c');
    await stage.expectLeft(fifth);
    expect(place.run('play', place.file, '--resume', '--plain').status).toBe(2);
    place.remove();
  });

  it('tells what is wrong with its charts when it is opened, and goes on without them', async () => {
    const place = home('');
    writeFileSync(join(place.path, 'bad.yaml'), 'title: Bad\nkey: H\nsections:\n  V: 1\n');
    const set = `title: Trouble\ncharts:\n  - bad.yaml\n  - gone.yaml\n  - file: ${demo('weir-hands')}\n    form: V\n    gap: 1\n  - file: ${demo('copperwort-lane')}\n    key: Cm\n`;
    writeFileSync(place.file, set);
    const shown = place.open(`play ${place.file} --tempo 400`);
    const told = await shown.shows('Something is wrong with this set:');
    expect(told).toContain('bad.yaml:2:6:');
    expect(told).toContain('there is no file');
    expect(told).toContain('the chart is in a major key, but Cm is not');
    expect(told).toContain('1 of 4 songs can be played');
    await shown.press('NPage');
    await shown.shows(/^ {2}Weir Hands/m);
    await shown.shows('That was the set.', 20_000);
    await shown.press('Escape');
    await stage.expectLeft(shown);
    const checked = place.run('check', place.file);
    expect(checked.status).toBe(1);
    expect(checked.stdout).toContain('set.yaml:4:5: error: there is no file');
    expect(checked.stdout).toContain('error: the chart is in a major key, but Cm is not');
    place.remove();
  });

  it('has a running order that can be changed while a song is played', async () => {
    const place = home(shortSet('1'));
    const shown = place.open(`play ${place.file} --tempo 240`);
    await shown.shows('1 of 6; then Third Lantern Down in G', 20_000);
    await shown.press('g');
    await shown.shows('running order');
    shown.type('toll');
    await shown.shows('search: toll');
    await shown.press('Left', 'Left', 'Left', 'Left');
    await shown.press('Escape');
    await shown.shows(/2 {2}The Tollhouse Kettle/);
    await shown.press('Escape');
    await shown.shows('1 of 6; then The Tollhouse Kettle in D');
    // A request, in the key of whoever asks for it.
    await shown.press('g', 'Tab');
    await shown.shows('A request: which chart?');
    shown.type('copper');
    await shown.shows('search: copper');
    await shown.press('Enter');
    await shown.shows('key or singer: C');
    await shown.press('BSpace');
    shown.type('D');
    await shown.press('Enter');
    await shown.shows('next: Copperwort Lane in D');
    await shown.press('e');
    await shown.shows(/^ {2}Copperwort Lane/m, 20_000);
    expect(await until(() => shown.text().includes('2 of 7'))).toBe(true);
    await shown.press('C-c');
    await stage.expectLeft(shown);
    rmSync(place.file);
    place.remove();
  });
});
