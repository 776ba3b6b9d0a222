import { spawn, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const program = new URL('../../dist/main.js', import.meta.url).pathname;
const demo = (name: string): string => new URL(`../../charts/${name}.yaml`, import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), 'barkline-write-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const env = { ...process.env, XDG_STATE_HOME: folder, XDG_DATA_HOME: folder, XDG_CONFIG_HOME: folder };

function run(words: string[], input = ''): { status: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...words], {
    encoding: 'utf8',
    env,
    input,
    cwd: folder,
  });
  return { status, out: stdout, err: stderr };
}

describe('new', () => {
  it('asks until it can read the answers, and writes a chart without fault', () => {
    const { status, out, err } = run(['new'], 'Reed Bend\nH\nBb\n\n3/4\n');
    expect(status).toBe(0);
    expect(out).toBe('reed-bend.yaml\n');
    expect(err).toContain('“H” is not a key');
    expect(run(['check', 'reed-bend.yaml']).out).toBe('reed-bend.yaml: no fault\n');
    expect(readFileSync(join(folder, 'reed-bend.yaml'), 'utf8')).toContain('key: Bb\ntempo: 160\nmeter: 3/4');
  });

  it('never overwrites, and says so when the answers end early', () => {
    expect(run(['new', 'reed-bend.yaml']).err).toContain('already exists');
    const { status, err } = run(['new', 'other.yaml'], 'Title\n');
    expect(status).toBe(2);
    expect(err).toContain('not all questions were answered');
  });
});

describe('show', () => {
  it('finds a singer’s key, and offers the nearest name', () => {
    expect(run(['show', demo('sluice-gate-morning'), '--for', 'meerle']).out).toContain('key D ');
    expect(run(['show', demo('sluice-gate-morning'), '--for', 'Meerla']).err).toContain(
      'did you mean “Meerle”?',
    );
  });

  it('lists the keys that fit a range, or a singer of the settings', () => {
    expect(run(['show', demo('sluice-gate-morning'), '--range', 'A3-D5']).out).toBe(
      'D    0 half steps to spare below, 0 half steps above\n',
    );
    mkdirSync(join(folder, 'barkline'), { recursive: true });
    writeFileSync(join(folder, 'barkline', 'settings.yaml'), 'singers:\n  Ansa: A3-E5\n  Tew: 12\n');
    const { out, err } = run(['show', demo('sluice-gate-morning'), '--fits', 'Ansa']);
    expect(out.split('\n')[0]).toBe('Eb   1 half step to spare below, 1 half step above');
    expect(err).toContain('settings.yaml:3:8: “12” is not the range of a voice');
    expect(run(['show', demo('sluice-gate-morning'), '--fits', 'Nobody']).err).toContain(
      'no range for “Nobody”',
    );
  });

  it('gives the letters behind a capo', () => {
    const { out } = run(['show', demo('nine-barges-late'), '--capo', 'auto']);
    expect(out).toContain('capo 3: shapes of G (third line); banjo: fifth string at 8');
    expect(out).toMatch(/\(2- 5\) +=? *\(2- 5\)[\s\S]*\(Cm F\)[\s\S]*\(Am D\)/);
  });

  it('prints a tidy chart, which reads back', () => {
    const { out } = run(['show', demo('third-lantern-down'), '--as', 'tidy-chart']);
    writeFileSync(join(folder, 'again.yaml'), out);
    expect(run(['show', 'again.yaml', '--as', 'tidy-chart']).out).toBe(out);
    expect(run(['show', 'again.yaml', '--as', 'song']).status).toBe(2);
  });

  it('prints a file as it stands, and in another key with the key alone changed', () => {
    const text =
      '\ufeff# mine\r\nkey:   G   # low\r\n\r\ntitle: "As it stands"\r\nform: V , V (key  D)\r\nsections:\r\n  V: |\r\n    1   4\t5  1 ; end';
    writeFileSync(join(folder, 'mine.yaml'), text);
    expect(run(['show', 'mine.yaml', '--as', 'chart'])).toEqual({ status: 0, out: text, err: '' });
    expect(run(['show', 'mine.yaml', '--as', 'chart', '--key', 'Bb']).out).toBe(
      text.replace('key:   G', 'key:   Bb').replace('key  D', 'key  F'),
    );
  });

  it('prints nothing of a file that could steer a terminal, and says so', () => {
    writeFileSync(
      join(folder, 'steers.yaml'),
      'title: "a\u202eb"\nkey: G\nsections:\n  V: |\n    1 4 ; \u009b2J\n',
    );
    const { status, out, err } = run(['show', 'steers.yaml', '--as', 'chart']);
    expect(status).toBe(0);
    expect(out).toBe('title: "a\ufffdb"\nkey: G\nsections:\n  V: |\n    1 4 ; \ufffd2J\n');
    expect(err).toMatch(/^barkline: 2 characters that could control a terminal are printed as a symbol\n/);
  });

  it('prints a section again for the times it is played in another key', () => {
    writeFileSync(
      join(folder, 'climbs.yaml'),
      'title: Climbs\nkey: G\nform: L x2, B (banjo, key D), L (key G)\nsections:\n  L: |\n    1 4 @key+2 5 1\n  B: |\n    1 4\n',
    );
    expect(run(['show', 'climbs.yaml']).out.split('\n').slice(2)).toEqual([
      'form: L x2, B (banjo, key D), L (key G)',
      '',
      'L (1st and 3rd time)',
      '                              key A',
      '  1             4             5             1',
      '  G             C             E             A',
      '',
      'L (2nd time)',
      '  key A                       key B',
      '  1             4             5             1',
      '  A             D             F#            B',
      '',
      'B',
      '  key D',
      '  1             4',
      '  D             G',
      '',
    ]);
    const inC = run(['show', 'climbs.yaml', '--key', 'C', '--capo', '0']).out;
    expect(inC).toContain('form: L x2, B (banjo, key G), L (key C)');
    expect(inC).toContain('  key G: shapes of G there\n');
    expect(inC).toContain('  key E: shapes of E there, or capo 2 with shapes of D\n');
    const { bars } = JSON.parse(run(['show', 'climbs.yaml', '--json']).out);
    expect(bars.map(({ key }: { key?: string }) => key ?? 'G').join(' ')).toBe('G G A A A A B B D D G G A A');
  });
});

describe('import', () => {
  it('asks for the key, and prints a chart', () => {
    writeFileSync(join(folder, 'sheet.txt'), 'G C D G\n');
    expect(run(['import', 'sheet.txt']).err).toContain('--key A');
    const { status, out } = run(['import', 'sheet.txt', '--key', 'G', '--tempo', '200']);
    expect(status).toBe(0);
    expect(out).toContain('    1 4 5 1\n');
  });

  it('exits with 1 and places when the sheet is at fault', () => {
    writeFileSync(join(folder, 'words.txt'), 'G C\nla la\n');
    const { status, err } = run(['import', 'words.txt', '--key', 'G']);
    expect(status).toBe(1);
    expect(err).toContain('words.txt:2:1: error: “la” is not a chord');
  });
});

describe('check', () => {
  it('--notation prints the summary', () => {
    expect(run(['check', '--notation']).out).toContain('|: 1 4 :| x3');
  });

  it('warns of what is no error, and exits with 0', () => {
    writeFileSync(
      join(folder, 'odd.yaml'),
      'title: T\nkey: A\nsections:\n  V: |\n    1 4 5 1 1 4 1\n  W: |\n    7o 1\nform: V, W\n',
    );
    const { status, out } = run(['check', 'odd.yaml']);
    expect(status).toBe(0);
    expect(out).toContain('odd.yaml:5:5: warning: a phrase of 7 bars');
  });

  it('--watch checks again when the file is saved', async () => {
    const path = join(folder, 'watched.yaml');
    writeFileSync(path, 'title: T\nkey: A\nsections:\n  V: 1 4 5 1\n');
    const child = spawn(process.execPath, [program, 'check', '--watch', path], {
      env,
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let text = '';
    const says = (wanted: string): Promise<void> =>
      new Promise((resolve) => {
        const look = (): void => {
          if (text.includes(wanted)) resolve();
        };
        child.stdout.on('data', look);
        look();
      });
    child.stdout.on('data', (data: Buffer) => {
      text += data;
    });
    await says('watched.yaml: no fault');
    await says('key A');
    writeFileSync(path, 'title: T\nkey: H\nsections:\n  V: 1 4 5 1\n');
    await says('“H” is not a key');
    const ended = new Promise((resolve) => child.on('exit', resolve));
    child.kill('SIGINT');
    expect(await ended).toBe(0);
  });
});

describe('completion', () => {
  it('knows its shells', () => {
    expect(run(['completion', 'bash']).out).toContain('complete -o filenames -F _barkline barkline');
    expect(run(['completion', 'zsh']).out).toContain('#compdef barkline');
    expect(run(['completion', 'fish']).out).toContain('complete -c barkline');
    expect(run(['completion', 'tcsh']).status).toBe(2);
  });

  it('tells nothing of what goes wrong with a line that a shell asks about', () => {
    for (const words of [[], [''], ['barkline'], ['barkline', 'show', '/dev/null/x', '--for', '']])
      expect(run(['completion', 'zsh', '--answer', '--', ...words])).toMatchObject({ status: 0, err: '' });
  });
});
