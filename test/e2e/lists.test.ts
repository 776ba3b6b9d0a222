import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, program } from './harness.js';
import { Screen } from './screen.js';

const home = freshFolder();
afterAll(() => home.remove());
let screen: Screen | null = null;
afterEach(() => {
  screen?.close();
  screen = null;
});

/** A list on a screen of its own; what is kept is kept in a folder of that name. */
function list(state: string, folder = '', columns = 80, rows = 24): Screen {
  screen?.close();
  screen = new Screen(
    columns,
    rows,
    `${process.execPath} ${program} --out none ${folder}`,
    cleanEnv(join(home.path, state)),
  );
  return screen;
}

/** `find` with pipes; what it keeps is kept in a folder of its own. */
function find(...words: string[]) {
  const { stdout, stderr, status } = spawnSync(process.execPath, [program, 'find', ...words], {
    env: cleanEnv(join(home.path, 'find')),
    encoding: 'utf8',
  });
  return { out: stdout, err: stderr, status };
}

/** A folder of many charts: every fourth a waltz, with a 2- in the last of them. */
function manyCharts(count: number): string {
  const folder = join(home.path, `many ${count}`.replace(' ', '-'));
  mkdirSync(folder, { recursive: true });
  for (let at = 0; at < count; at += 1) {
    const head = `title: Lane ${at}\nkey: ${['A', 'Bb', 'G'][at % 3]}\ntempo: ${100 + (at % 150)}\n`;
    const waltz = at % 4 === 0 ? 'meter: 3/4\ntags: waltz\n' : '';
    const bars = at === count - 1 ? '1 2- 5 1' : '1 4 5 1';
    writeFileSync(join(folder, `l${at}.yaml`), `${head}${waltz}sections:\n  V: |\n    ${bars}\n`);
  }
  return folder;
}

describe('the list of charts', () => {
  for (const [columns, rows] of [
    [60, 18],
    [80, 24],
    [100, 30],
    [140, 45],
  ] as const)
    it(`tells at ${columns}x${rows} what can be typed and how it was understood, and sorts`, async () => {
      const shown = list(`size${columns}`, '', columns, rows);
      const first = await shown.shows('type to search   Enter opens   Tab sorts');
      expect(first).toContain('title, by, tag; key A');
      expect(first).toContain('in the usual order');
      shown.type('1 4 1 5 A 180-220');
      await shown.shows(/numbers 1 4 1 5, key A, tempo 1[\s\S]*▸ Sluice Gate Morning/);
      expect(shown.text()).toContain('1 of 12');
      shown.type(' waltz');
      await shown.shows(/nothing has all of: numbers 1 4 1 5, key A, tempo/);
      await shown.press('Escape', 'Tab', 'Tab', 'Tab');
      await shown.shows('by tempo');
      expect(shown.lines()[2]).toMatch(/▸ Copperwort Lane +C +104/);
    });

  it('keeps its order for the next start', async () => {
    const first = list('order');
    await first.shows('in the usual order');
    await first.press('Tab');
    await first.shows('by title');
    await first.press('C-c');
    await first.shows('ended 0');
    const second = await list('order').shows('by title');
    expect(second.split('\n')[2]).toContain('Copperwort Lane');
  });

  it('is there before a folder of many charts was read, finds in it when it was, and knows it the next time', async () => {
    const folder = manyCharts(400);
    const first = list('many', folder, 100, 30);
    await first.shows('type to search');
    first.type('2-');
    await first.shows(/^(?!.*reading:).*\n.*\n ▸ Lane 399/, 60_000);
    await first.press('Enter');
    await first.shows(/Lane 399[\s\S]*Space play/);
    await first.press('q');
    await first.shows('ended 0');
    const second = list('many', folder, 100, 30);
    const text = await second.shows('type to search');
    expect(text).toContain('Lane 0 ');
    expect(text).not.toMatch(/reading:|not read yet/);
  });

  it('is sorted by how songs went, with what was never marked at the end', async () => {
    const state = join(home.path, 'weak');
    const env = cleanEnv(state);
    const folder = join(env.XDG_STATE_HOME ?? '', 'barkline');
    mkdirSync(folder, { recursive: true });
    const pass = (title: string, result: string): string =>
      JSON.stringify({
        v: 1,
        at: Date.now(),
        what: 'chart',
        drill: null,
        title,
        file: null,
        changes: [],
        key: 'A',
        bpm: 100,
        target: 200,
        pattern: null,
        result,
        ms: 1000,
      });
    const passes = [pass('Weir Hands', 'miss'), pass('Weir Hands', 'clean'), pass('Osier and Twine', 'miss')];
    writeFileSync(join(folder, 'diary.jsonl'), `${passes.join('\n')}\n`);
    const shown = list('weak');
    await shown.shows('type to search');
    await shown.press('Tab', 'Tab', 'Tab', 'Tab', 'Tab');
    await shown.shows(/Osier and Twine +E .*1 of 1 missed\n +Weir Hands +B .*1 of 2 missed\n.*not marked/);
  });
});

describe('a list in front of the stand', () => {
  it('is searched by letters, which are no keys there', async () => {
    screen = new Screen(
      80,
      24,
      `${process.execPath} ${program} play --out none ${demo('weir-hands')}`,
      cleanEnv(join(home.path, 'stand')),
    );
    await screen.shows('Space play');
    await screen.press('k');
    await screen.shows('type to search');
    screen.type('g#');
    await screen.shows(/search: g#.*1 of 12\n\n ▸ A♭/);
    await screen.press('Enter');
    await screen.shows(/Weir Hands +A♭[\s\S]*now +1 +A♭ +8-6-3-4/);
    await screen.press('d');
    await screen.shows('Drills');
    screen.type('qqq');
    await screen.shows('nothing has “qqq”');
    await screen.press('Escape', 'q');
    await screen.shows('ended 0');
  });
});

describe('find', () => {
  it('prints what has all that was asked for, in an order', () => {
    const { out, err, status } = find('1', '4', '1', '5', 'A');
    expect({ err, status }).toStrictEqual({ err: '', status: 0 });
    expect(out).toMatch(/^Ropewalk Penny +A +132 quarters +4\/4 +.*\nSluice Gate Morning +A +200 .*\n$/);
    expect(find('--sort', 'tempo', '-120').out).toMatch(/^Copperwort Lane .*\nThe Tollhouse Kettle .*\n$/);
    expect(find('--files', 'waltz').out).toBe(`${demo('copperwort-lane')}\n`);
  });

  it('is one document for programs, with everything it goes by', () => {
    const { out, status } = find('--json', 'b7', 'Am');
    expect(status).toBe(0);
    expect(JSON.parse(out)).toStrictEqual({
      asked: ['number b7', 'key Am'],
      songs: [
        {
          file: demo('lockkeepers-candle'),
          title: "The Lockkeeper's Candle",
          by: 'Ansa Pell',
          key: 'Am',
          tempo: 148,
          tempoCounts: 'quarter',
          meter: '4/4',
          tags: ['minor', 'sung', 'fiddle break'],
          played: null,
          weak: null,
        },
      ],
    });
  });

  it('says what was asked for where nothing has it, and what may have been meant', () => {
    expect(find('walz')).toStrictEqual({
      out: '',
      err: 'barkline: no chart has “walz”; did you mean “waltz”?\nfewer words find more; barkline find alone lists all\n',
      status: 1,
    });
    expect(find('--json', 'walz')).toMatchObject({ err: '', status: 1 });
    expect(find('--in', join(home.path, 'nowhere'))).toMatchObject({ out: '', status: 2 });
    expect(find('--sort', 'weak').err).toContain('weakest');
  });

  it('looks through folders in a folder, tells of files that cannot be read, and is well with its reader gone', () => {
    const folder = join(home.path, 'deep', 'one', 'two');
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, 'a.yaml'), 'title: Deep Water\nkey: E\nsections:\n  V: 1 4\n');
    writeFileSync(join(folder, 'b.yaml'), 'title: [\n');
    const { out, err, status } = find('--in', join(home.path, 'deep'));
    expect({ out, status }).toStrictEqual({
      out: expect.stringMatching(/^Deep Water +E .*a\.yaml\n$/),
      status: 0,
    });
    expect(err).toBe('1 file could not be read; barkline check FILE says why\n');
    const many = manyCharts(400);
    const piped = execFileSync('sh', ['-c', `${process.execPath} ${program} find --in ${many} | head -1`], {
      env: cleanEnv(join(home.path, 'find')),
      encoding: 'utf8',
    });
    expect(piped).toMatch(/^Lane 0 /);
  });
});
