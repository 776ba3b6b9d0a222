import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  chownSync,
  linkSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { appendLine } from '../../src/config/diary-file.js';
import { cleanEnv, demo, freshFolder, program } from '../e2e/harness.js';
import { isRoot, plainChart, ran, type SmallDisk, smallDisk } from './places.js';
import { Terminal } from './terminal.js';

let home = freshFolder();
beforeEach(() => {
  home = freshFolder();
  mkdirSync(join(home.path, 'barkline'));
});
afterEach(() => home.remove());

const at = (...parts: string[]): string => join(home.path, ...parts);
const tunes = Array.from(
  { length: 40 },
  (_, index) => `X:${index + 1}\nT:Tune ${index + 1}\nM:4/4\nL:1/8\nK:G\n"G"G8|"C"c8|"D"d8|"G"G8|\n`,
).join('\n');

describe('a full disk', () => {
  let disk: SmallDisk | null = null;
  beforeEach((context) => {
    disk = smallDisk();
    if (!disk) context.skip('no disk can be mounted here; the limit of file sizes below stands for it');
    disk?.fill();
  });
  afterEach(() => disk?.remove());
  const on = (name: string): string => join(disk?.path ?? '', name);
  const names = (): string[] => readdirSync(disk?.path ?? '').sort();

  test.each([
    ['export to a new file', ['export', demo('weir-hands'), '--to', 'pdf', '-o', 'FULL/a.pdf'], ''],
    ['export into a new folder', ['export', demo('weir-hands'), '--to', 'midi', '-o', 'FULL/a/b/c.mid'], ''],
    ['export over a file', ['export', demo('weir-hands'), '--to', 'midi', '-o', 'FULL/old', '--force'], ''],
    ['import', ['import', 'HOME/tunes.abc', '--all', 'FULL/own'], ''],
    ['new', ['new', 'FULL/new.yaml'], 'Title\nG\n120\n4/4\n'],
  ])('%s: says so, exit 3, and leaves everything as it was', (_, words, input) => {
    writeFileSync(at('tunes.abc'), tunes);
    disk?.empty();
    writeFileSync(on('old'), 'x'.repeat(9000));
    disk?.fill();
    const before = names();
    const own = words.map((word) => word.replace('FULL', disk?.path ?? '').replace('HOME', home.path));
    const { status, stderr } = ran(home.path, own, { input });
    expect(stderr).toContain('the disk is full');
    expect(stderr).not.toContain('failed');
    expect(status).toBe(3);
    expect(names()).toEqual(before);
    expect(readFileSync(on('old'), 'utf8')).toBe('x'.repeat(9000));
  });

  test('a set in many files: those that went through are whole, the rest is not there', () => {
    disk?.empty();
    writeFileSync(on('ballast'), Buffer.alloc(220 << 10));
    writeFileSync(at('tunes.abc'), tunes);
    const { status } = ran(home.path, ['import', at('tunes.abc'), '--all', on('own')]);
    expect(status).toBe(3);
    const written = readdirSync(on('own'));
    expect(written.length).toBeGreaterThan(0);
    expect(written.length).toBeLessThan(40);
    for (const name of written) expect(readFileSync(join(on('own'), name), 'utf8')).toMatch(/\n$/);
    expect(ran(home.path, ['check', ...written.map((name) => join(on('own'), name))]).status).toBe(0);
  });

  test('a diary that takes a line only in part says so, and has none of it', () => {
    disk?.empty();
    const path = on('diary.jsonl');
    // The disk gives room by pages of 4096 bytes: twenty bytes of the next line find place.
    const old = `${'x'.repeat(4075)}\n`;
    writeFileSync(path, old);
    disk?.fill();
    expect(appendLine(path, 'y'.repeat(200))).toContain('the disk is full');
    expect(readFileSync(path, 'utf8')).toBe(old);
    disk?.empty();
    expect(appendLine(path, 'y')).toBeNull();
    expect(readFileSync(path, 'utf8')).toBe(`${old}y\n`);
  });

  test('the pencil says so, loses nothing, and saves when there is room again', async () => {
    disk?.empty();
    writeFileSync(on('song.yaml'), plainChart);
    disk?.fill();
    const terminal = new Terminal([process.execPath, program, 'play', on('song.yaml'), '--out', 'none'], {
      env: cleanEnv(home.path),
    });
    try {
      // Bars can be written as soon as the hand is planned.
      expect(await terminal.shows('ready', 40_000)).toBe(true);
      terminal.type('b');
      expect(await terminal.shows('bar 1 of the pass')).toBe(true);
      terminal.type('~\r');
      expect(await terminal.shows('the disk is full')).toBe(true);
      expect(readFileSync(on('song.yaml'), 'utf8')).toBe(plainChart);
      disk?.empty();
      terminal.type('b');
      terminal.type('\r');
      expect(await terminal.shows('written; r undoes it')).toBe(true);
      expect(readFileSync(on('song.yaml'), 'utf8')).toBe(plainChart.replace('1 4', '1~ 4'));
      expect(names()).toEqual(['song.yaml']);
      terminal.type('q');
      expect(await terminal.ends()).toBe(0);
    } finally {
      await terminal.close();
    }
  });
});

test('a limit of file sizes: says so, exit 3, and leaves nothing', () => {
  const before = ['sh', '-c', 'ulimit -f 2; exec "$@"', 'sh'];
  const { status, stderr } = ran(
    home.path,
    ['export', demo('weir-hands'), '--to', 'pdf', '-o', at('a.pdf')],
    {
      before,
    },
  );
  expect(stderr).toContain('larger than this system allows');
  expect(status).toBe(3);
  expect(readdirSync(home.path)).toEqual(['barkline']);
});

describe('what is not a file', () => {
  const kinds = {
    'a pipe': (path: string) => void execFileSync('mkfifo', [path]),
    'an endless device': (path: string) => symlinkSync('/dev/zero', path),
  };

  test.each(Object.entries(kinds))(
    '%s by a chart’s name is refused by every command',
    (kind, make) => {
      const bad = at('bad.yaml');
      make(bad);
      const good = demo('weir-hands');
      const all = [
        ['check', bad],
        ['show', bad],
        ['play', bad, '--plain', '--out', 'none'],
        ['plan', bad],
        ['export', bad, '--to', 'abc', '-o', '-'],
        ['import', bad],
        ['shapes', 'A', '--instrument', bad],
        ['plan', good, '--hand', bad],
        ['play', good, '--plain', '--out', 'none', '--tempo', '400', '--pattern', bad],
        ['shed', 'today', '--set', bad],
      ];
      // What opens them is the same for both.
      for (const words of kind === 'a pipe' ? all : all.slice(0, 3)) {
        const { status, stderr } = ran(home.path, words);
        expect([words.join(' '), status]).toEqual([words.join(' '), 2]);
        expect(stderr).toMatch(/is a (?:pipe|device), not a file/);
      }
    },
    120_000,
  );

  test.each(Object.entries(kinds))('%s in the program’s own folders stops nothing', (_, make) => {
    for (const name of ['settings.yaml', 'diary.jsonl', 'last.json', 'pedals.json'])
      make(at('barkline', name));
    for (const folder of ['charts', 'patterns']) {
      mkdirSync(at('barkline', folder));
      make(at('barkline', folder, 'bad.yaml'));
    }
    for (const words of [
      ['play', demo('weir-hands'), '--plain', '--out', 'none', '--tempo', '400', '--loop', '1-1'],
      ['diary'],
      ['shed', 'today', '--minutes', '5'],
      ['plan', demo('weir-hands')],
    ]) {
      const { status, stderr } = ran(home.path, words);
      expect([words.join(' '), status, stderr]).toEqual([words.join(' '), 0, stderr]);
      expect(stderr).toMatch(/is a (?:pipe|device)/);
    }
  });

  test('a pipe and a device in a listed folder and in a set: the list comes, and the set goes on without them', async () => {
    kinds['a pipe'](at('pipe.yaml'));
    kinds['an endless device'](at('zero.yaml'));
    writeFileSync(at('good.yaml'), plainChart);
    writeFileSync(at('set.yaml'), 'title: Mixed\ncharts: [pipe.yaml, good.yaml, zero.yaml]\n');
    const shown = ran(home.path, ['show', at('set.yaml')]);
    expect(shown.status).toBe(1);
    expect(shown.stdout).toContain('is a pipe, not a file');
    for (const [words, wanted] of [
      [['play', at('set.yaml')], '1 of 3 songs can be played'],
      [[home.path], 'is a device, not a file'],
    ] as const) {
      const terminal = new Terminal([process.execPath, program, ...words, '--out', 'none'], {
        columns: 150,
        env: cleanEnv(home.path),
      });
      try {
        expect(await terminal.shows(wanted, 40_000)).toBe(true);
        terminal.type('\u0003');
        expect(await terminal.ends()).toBe(0);
      } finally {
        await terminal.close();
      }
    }
  });
});

describe('export --force', () => {
  const over = (path: string) =>
    ran(home.path, ['export', demo('weir-hands'), '--to', 'abc', '-o', path, '--force']);

  test('writes through links, keeps permissions, owner and other names', () => {
    writeFileSync(at('private'), 'old', { mode: 0o600 });
    if (isRoot) chownSync(at('private'), 65534, 65534);
    symlinkSync('private', at('link'));
    expect(over(at('link')).status).toBe(0);
    expect(lstatSync(at('link')).isSymbolicLink()).toBe(true);
    expect(readFileSync(at('private'), 'utf8')).toContain('T:Weir Hands');
    expect(statSync(at('private')).mode & 0o777).toBe(0o600);
    if (isRoot) expect(statSync(at('private')).uid).toBe(65534);
    writeFileSync(at('one'), 'old');
    linkSync(at('one'), at('other'));
    expect(over(at('one')).status).toBe(0);
    expect(readFileSync(at('other'), 'utf8')).toContain('T:Weir Hands');
  });

  test('takes the place of no device, pipe or read-only file', () => {
    symlinkSync('/dev/null', at('null'));
    execFileSync('mkfifo', [at('pipe')]);
    writeFileSync(at('kept'), 'old', { mode: 0o444 });
    for (const [name, status] of [
      ['null', 2],
      ['pipe', 2],
      ['kept', 3],
    ] as const)
      expect([name, over(at(name)).status]).toEqual([name, status]);
    expect(lstatSync('/dev/null').isCharacterDevice()).toBe(true);
    expect(lstatSync(at('pipe')).isFIFO()).toBe(true);
    expect(readFileSync(at('kept'), 'utf8')).toBe('old');
  });
});

test('the pencil leaves a read-only file as it is, and saves into the player’s own charts', async (context) => {
  // Root may write anywhere: the program is run by somebody else.
  const user = isRoot ? ['setpriv', '--reuid=65534', '--regid=65534', '--clear-groups'] : [];
  const song = at('song.yaml');
  writeFileSync(song, plainChart);
  chmodSync(song, 0o444);
  chmodSync(home.path, 0o555);
  if (isRoot) chownSync(at('barkline'), 65534, 65534);
  const reads = ran(home.path, ['check', song], { before: user });
  if (isRoot && reads.status !== 0) context.skip('nobody else can run the program from where it stands');
  const terminal = new Terminal([...user, process.execPath, program, 'play', song, '--out', 'none'], {
    env: cleanEnv(home.path),
  });
  try {
    expect(await terminal.shows('ready', 40_000)).toBe(true);
    terminal.type('b');
    expect(await terminal.shows('bar 1 of the pass')).toBe(true);
    terminal.type('~\r');
    expect(await terminal.shows('in your own charts as')).toBe(true);
    terminal.type('\r');
    expect(await terminal.shows('the original chart is unchanged')).toBe(true);
    terminal.type('q');
    expect(await terminal.ends()).toBe(0);
  } finally {
    await terminal.close();
    chmodSync(home.path, 0o755);
  }
  expect(readFileSync(song, 'utf8')).toBe(plainChart);
  expect(statSync(song).mode & 0o777).toBe(0o444);
  expect(readFileSync(at('barkline', 'charts', 'song.yaml'), 'utf8')).toBe(plainChart.replace('1 4', '1~ 4'));
});

test.each([
  ['Ctrl-C', '\u0003', null],
  ['TERM', '', 'SIGTERM'],
  ['HUP', '', 'SIGHUP'],
] as const)(
  'what is being written down outlives %s, and is offered at the next start',
  async (_, keys, signal) => {
    const open = () =>
      new Terminal([process.execPath, program, '--out', 'none'], { env: cleanEnv(home.path) });
    const first = open();
    try {
      expect(await first.shows('Charts and sets', 40_000)).toBe(true);
      first.type('write down');
      expect(await first.shows(/ 1 of \d+/)).toBe(true);
      first.type('\r');
      expect(await first.shows('1 to 7 write the chord')).toBe(true);
      first.type('4');
      for (const end = Date.now() + 5000; Date.now() < end; ) {
        if (readdirSync(at('barkline')).includes('transcripts')) break;
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
      if (signal === null) first.type(keys);
      else process.kill(first.pid as number, signal);
      expect(await first.ends()).not.toBeNull();
    } finally {
      await first.close();
    }
    const second = open();
    try {
      expect(await second.shows('continue the chart you were writing down', 40_000)).toBe(true);
      expect(second.text).toContain('1 bar in G');
      second.type('\r');
      expect(await second.shows('1 to 7 write the chord')).toBe(true);
      second.type('\r');
      expect(await second.shows('its title')).toBe(true);
      second.type('Ferry Bell\r');
      expect(await second.shows('Ferry Bell')).toBe(true);
      for (
        const end = Date.now() + 5000;
        Date.now() < end && readdirSync(at('barkline', 'transcripts')).length > 0;
      )
        await new Promise((resolve) => setTimeout(resolve, 20));
      second.type('\u0003');
      expect(await second.ends()).toBe(0);
    } finally {
      await second.close();
    }
    expect(readFileSync(at('barkline', 'charts', 'ferry-bell.yaml'), 'utf8')).toContain('4 4 4 4');
    expect(readdirSync(at('barkline', 'transcripts'))).toEqual([]);
  },
);

test('a diary of more than a text can have, 513 MB, is read', () => {
  const line = (ms: number): string =>
    JSON.stringify({
      v: 1,
      at: Date.now(),
      what: 'chart',
      drill: null,
      title: 'Weir Hands',
      file: null,
      changes: [],
      key: 'B',
      bpm: 200,
      target: 252,
      pattern: null,
      result: 'clean',
      ms,
    });
  const path = at('barkline', 'diary.jsonl');
  writeFileSync(path, `${line(1)}\n`);
  // A hole: a single line of zeros, which no disk has to hold.
  truncateSync(path, 513 << 20);
  writeFileSync(path, `\n${line(2)}\n${line(3)}\n`, { flag: 'a' });
  const { status, stdout, stderr } = ran(home.path, ['diary', '--json'], { ms: 60_000 });
  expect(status).toBe(0);
  expect(JSON.parse(stdout)).toMatchObject({ passes: 3, setAside: [{ line: 2 }] });
  expect(stderr).toContain(':2: set aside');
});

test('base directories that are not absolute are ignored, and an empty HOME is none', () => {
  mkdirSync(at('here'));
  const env = { XDG_STATE_HOME: 'state', XDG_DATA_HOME: '', XDG_CONFIG_HOME: './config', HOME: home.path };
  const words = ['play', demo('weir-hands'), '--plain', '--out', 'none', '--tempo', '400', '--loop', '1-1'];
  const { status, stderr } = ran(home.path, words, { cwd: at('here'), env });
  expect(status).toBe(0);
  expect(stderr).toContain('XDG_STATE_HOME is not an absolute path; it is ignored');
  expect(readdirSync(at('here'))).toEqual([]);
  expect(readdirSync(at('.local', 'state', 'barkline'))).toContain('last.json');
  const all = { XDG_STATE_HOME: '', XDG_DATA_HOME: '', XDG_CONFIG_HOME: '', HOME: '' };
  expect(ran(home.path, ['check', demo('weir-hands')], { cwd: at('here'), env: all }).status).toBe(0);
  expect(readdirSync(at('here'))).toEqual([]);
});
