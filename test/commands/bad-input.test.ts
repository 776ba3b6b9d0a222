import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const program = new URL('../../dist/main.js', import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), 'barkline-bad-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function run(...words: string[]): { status: number | null; out: string; err: string } {
  const env = { ...process.env, XDG_STATE_HOME: folder, XDG_DATA_HOME: folder };
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...words], {
    encoding: 'utf8',
    env,
  });
  return { status, out: stdout, err: stderr };
}

function file(name: string, content: string | Uint8Array): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

const good = 'title: T\nkey: A\ntempo: 120\nsections:\n  V: |\n    1 4 5 1\n';

/** Control characters other than line feeds: none may reach the terminal. */
const raw = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/;

describe('a bad chart gets a sentence with file, line and column, and exit status 1', () => {
  it.each<[string, string | Uint8Array, string]>([
    ['unknown token', good.replace('4 5', 'q5 5'), ':6:7: error: “q5” is not a number'],
    ['missing section', `form: V, W\n${good}`, ':1:10: error: there is no section “W”; did you mean “V”?'],
    ['key H', good.replace('key: A', 'key: H'), ':2:6: error: “H” is not a key'],
    ['tempo 9999', good.replace('120', '9999'), ':3:8: error: tempo “9999” is out of range'],
    [
      '40 MB',
      new Uint8Array(40 << 20).fill(32),
      ':1:1: error: the file has 40.0 MiB; a chart can have at most 1 MiB',
    ],
    ['binary', new Uint8Array([0x7f, 0x45, 0x4c, 0x46, 0, 1, 2]), ':1:5: error: the file is not text'],
    [
      'escape characters in the title',
      good.replace('title: T', 'title: "\u001b[2Jx"').replace('key: A', 'key: "\u001b]0;y"'),
      ':2:7: error: “␛]0;y” is not a key',
    ],
  ])('%s', (name, content, wanted) => {
    const path = file(`${name.replace(/ /g, '-')}.yaml`, content);
    const check = run('check', path);
    expect(check.status).toBe(1);
    expect(check.out).toContain(`${path}${wanted}`);
    expect(check.out).not.toMatch(raw);
    const play = run('play', path, '--plain', '--out', 'none');
    expect(play.status).toBe(1);
    expect(play.err).toContain(wanted);
    expect(play.err).not.toMatch(raw);
    expect(play.err).not.toContain('    at ');
  });

  it('control characters of a readable title never reach the terminal', () => {
    const path = file('title.yaml', good.replace('title: T', 'title: "a\\u001b[2Jb"'));
    const shown = run('show', path);
    expect(shown.status).toBe(0);
    expect(shown.out).toContain('a␛[2Jb');
    expect(shown.out).not.toMatch(raw);
  });

  it('--json has every fault with its place', () => {
    const path = file('two.yaml', good.replace('key: A', 'key: H').replace('120', '9999'));
    const { status, out } = run('check', path, '--json');
    expect(status).toBe(1);
    const { faults } = JSON.parse(out);
    expect(
      faults.map(({ file: at, line, column, severity }: Record<string, unknown>) => [
        at,
        line,
        column,
        severity,
      ]),
    ).toEqual([
      [path, 2, 6, 'error'],
      [path, 3, 8, 'error'],
    ]);
  });
});

describe('a bad call gets exit status 2', () => {
  const path = file('good.yaml', good);
  it.each<[string[], string]>([
    [['play', `${folder}/none.yaml`], 'there is no file'],
    [['play', path, '--key', 'H'], 'is not a key'],
    [['play', path, '--tempo', '9999'], 'is not a tempo'],
    [['play', path, '--loop', '3-9'], 'is not a range of bars within 1-4'],
    [['play', path, '--out', 'raww:x'], 'did you mean “raw”?'],
    [['play', path, '--click', 'evry'], '“evry” is not a click; did you mean “every”?'],
    [['shed', 'unseen', '--level', 'hrad'], 'did you mean “hard”?\nit is easy, fair, hard or wicked'],
    [['show', path, '--as', 'chrat'], 'did you mean “chart”?\nit is text, chart or tidy-chart'],
    [['plan', path, '--least', 'all'], '“all” is not an aim of a plan\nit is total or hardest'],
    [['export', path, '--to', 'midy'], 'did you mean “midi”?\nit is pdf, text, midi, abc or musicxml'],
    [['completion', 'fihs'], '“fihs” is not a shell with a completion; did you mean “fish”?'],
    [['diary', '--days', '0'], '--days “0” is not a whole number from 1 to 366'],
    [['plai', path], 'too many arguments'],
    [['show'], 'show needs a file, or --bars'],
    [['shapes'], 'missing required argument'],
    [['play', path, '--bars', '1 4'], 'a file and --bars cannot both be used'],
    [['play', path, '--meter', '3/4'], '--meter is for --bars'],
    [['click', '9000'], 'is not a tempo from 20 to 400'],
    [['click', '--meter', '3/5'], 'is not a meter'],
  ])('%j', (words, wanted) => {
    const { status, err } = run(...words);
    expect(status).toBe(2);
    expect(err).toContain(wanted);
  });

  it('a raw output that is a regular file is refused with exit status 3', () => {
    const { status, err } = run('play', path, '--plain', '--out', `raw:${path}`);
    expect(status).toBe(3);
    expect(err).toContain('is a regular file');
  });
});

describe('show', () => {
  it('puts a chart into a key', () => {
    const { out } = run('show', file('good.yaml', good), '--key', 'Eb', '--json');
    const { key, meter, tempo, bars } = JSON.parse(out);
    expect([key, meter, tempo]).toEqual(['Eb', '4/4', 120]);
    expect(
      bars.map((bar: { chords: { number: string; chord: string; beats: number }[] }) => bar.chords[0]),
    ).toMatchObject([
      { number: '1', chord: 'Eb', beats: 4 },
      { number: '4', chord: 'Ab', beats: 4 },
      { number: '5', chord: 'Bb', beats: 4 },
      { number: '1', chord: 'Eb', beats: 4 },
    ]);
  });

  it('needs nothing of the screen, nor of other commands', () => {
    const hook = 'export async function load(u, c, n) { process._rawDebug(u); return n(u, c); }';
    const { stderr } = spawnSync(
      process.execPath,
      [
        '--import',
        `data:text/javascript,import{register}from"node:module";register(${JSON.stringify(`data:text/javascript,${encodeURIComponent(hook)}`)})`,
        program,
        'show',
        file('good.yaml', good),
      ],
      { encoding: 'utf8' },
    );
    // A file of the bundle names the modules that are in it.
    const loaded = stderr.split('\n').filter((url) => url.startsWith('file:'));
    const modules = loaded.flatMap((url) => [
      url,
      ...(readFileSync(new URL(url), 'utf8').match(/^ *\/\/ (?:src|node_modules)\/.*$/gm) ?? []),
    ]);
    expect(modules.join('\n')).toMatch(/src\/commands\/show\.command\.ts/);
    expect(modules.join('\n')).not.toMatch(
      /node_modules\/(?:ink|react|react-reconciler|pdfkit|saxes)\/|src\/commands\/(?:stand|play)\.ts/,
    );
  });

  it('tells its version and its help', () => {
    expect(execFileSync(process.execPath, [program, '--version'], { encoding: 'utf8' })).toMatch(
      /^\d+\.\d+\.\d+\n$/,
    );
    expect(execFileSync(process.execPath, [program, 'play', '--help'], { encoding: 'utf8' })).toContain(
      'Examples:',
    );
  });
});
