import { spawnSync } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, program } from '../e2e/harness.js';

/*
 * Files that made the program slow or made it crash. Each run has a hard limit, after which it is killed; where a file can be
 * made in two sizes the larger must not take much more than its share. The sizes are such that what grew with their square
 * took minutes.
 */

const folder = freshFolder();
afterAll(() => folder.remove());
const limitMs = 15_000;

function file(name: string, text: string): string {
  const path = join(folder.path, name);
  writeFileSync(path, text);
  return path;
}

/** Runs the program; its CPU time does not count what else the machine does. `null` as status: it was killed. */
function run(...words: string[]): { status: number | null; ms: number; out: string; err: string } {
  const timer =
    'process.on("exit", () => { const { user, system } = process.cpuUsage(); require("node:fs").writeSync(2, "\\ncpu " + (user + system) / 1000 + "\\n"); });';
  const preload = join(folder.path, 'cpu.cjs');
  if (!existsSync(preload)) writeFileSync(preload, timer);
  const { status, stdout, stderr } = spawnSync(process.execPath, ['--require', preload, program, ...words], {
    env: cleanEnv(folder.path),
    timeout: 4 * limitMs,
    killSignal: 'SIGKILL',
    maxBuffer: 1 << 28,
    encoding: 'utf8',
  });
  const ms = Number(/\ncpu ([\d.]+)\n/.exec(stderr)?.[1] ?? Number.NaN);
  return { status, ms, out: stdout, err: stderr.replace(/\ncpu [\d.]+\n/, '') };
}

const rows = (count: number, row: (index: number) => string): string =>
  Array.from({ length: count }, (_, index) => row(index)).join('');
const chart = (sections: string, form = ''): string => `title: t\nkey: C\n${form}sections:\n${sections}`;
const abc = (body: string): string => `X:1\nT:t\nM:4/4\nL:1/4\nQ:1/4=120\nK:C\n${body}`;
const harmony =
  '<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony><note><rest/><duration>4</duration></note>';
const score = (measures: string): string =>
  `<score-partwise><part id="P1">${measures}</part></score-partwise>`;
const rehearsal = '<direction><direction-type><rehearsal>A</rehearsal></direction-type></direction>';

/** Kinds of file that can be made in any size, and what comes of them. */
const growing: readonly (readonly [
  what: string,
  name: string,
  size: number,
  make: (size: number) => string,
  words: readonly string[],
  status: number,
])[] = [
  [
    'faults on one line',
    'line.yaml',
    480_000,
    (size) => chart(`  A: |\n    ${'9 '.repeat(size)}\n`),
    ['check'],
    1,
  ],
  [
    'unknown names in the form',
    'form.yaml',
    80_000,
    (size) => chart('  A: |\n    1\n', `form: ${rows(size, (at) => `B${at}, `)}A\n`),
    ['check'],
    1,
  ],
  [
    'sections made of what is not there',
    'made.yaml',
    40_000,
    (size) => chart(rows(size, (at) => `  A${at}: all of B${at}\n`)),
    ['check'],
    1,
  ],
  [
    'sections',
    'sections.yaml',
    50_000,
    (size) => chart(rows(size, (at) => `  A${at}: |\n    1\n`)),
    ['check'],
    1,
  ],
  [
    'pieces of one section',
    'pieces.yaml',
    40_000,
    (size) =>
      chart(
        `  C: |\n    |: ${'1 4 5 1 '.repeat(50)} :| x100\n  A: first 1 of C${' + first 1 of C'.repeat(size)}\n`,
      ),
    ['check'],
    1,
  ],
  [
    'times without a name',
    'times.yaml',
    300_000,
    (size) => chart('  A: |\n    1\n', `form: A ${'x2 '.repeat(size)}\n`),
    ['check'],
    1,
  ],
  ['parts of one name', 'parts.abc', 4800, (size) => abc('P:A\n"C"z4 |\n'.repeat(size)), ['import'], 0],
  ['repeats that never close', 'opens.abc', 4800, (size) => abc('|: "C"z4 |\n'.repeat(size)), ['import'], 0],
  [
    'chords of one bar',
    'chords.abc',
    400,
    (size) => abc(`${'"C"z"D"z'.repeat(200)}\n`.repeat(size)),
    ['import'],
    0,
  ],
  [
    'brackets without end',
    'braces.abc',
    48,
    (size) => abc(`${`${'{'.repeat(19_000)}\n`.repeat(size)}"C"z4|\n`),
    ['import'],
    0,
  ],
  [
    'sections of one name',
    'sections.musicxml',
    4800,
    (size) => score(`<measure>${rehearsal}${harmony}</measure>`.repeat(size)),
    ['import'],
    0,
  ],
  [
    'chords of one measure',
    'chords.musicxml',
    24_000,
    (size) => score(`<measure>${harmony.repeat(size)}</measure>`),
    ['import'],
    0,
  ],
  [
    'headings of one name',
    'headings.txt',
    40_000,
    (size) => '[V]\nA\n'.repeat(size),
    ['import', '--key', 'A'],
    1,
  ],
];

describe('the time grows with the size', () => {
  it.each(growing)('of %s', (_, name, size, make, [command = '', ...flags], status) => {
    const small = run(command, file(`small-${name}`, make(size / 4)), ...flags);
    const large = run(command, file(name, make(size)), ...flags);
    expect([0, 1]).toContain(small.status);
    expect(large.status).toBe(status);
    expect(large.ms).toBeLessThan(limitMs);
    // What does not grow (the start) is in both; what grew with the square took sixteen times as long.
    expect(large.ms).toBeLessThan(8 * small.ms);
    expect(large.out.length + large.err.length).toBeLessThan(2 << 20);
  });

  it('of a MIDI file: a thousand passes within ten seconds', () => {
    const out = join(folder.path, 'long.mid');
    const { status, ms } = run(
      'export',
      demo('nine-barges-late'),
      '--to',
      'midi',
      '--passes',
      '1000',
      '-o',
      out,
    );
    expect(status).toBe(0);
    expect(ms).toBeLessThan(10_000);
  });
});

describe('sets', () => {
  it('nested eighteen deep, each naming the next twice, are read at once', () => {
    for (let level = 0; level < 18; level += 1)
      file(`deep${level}.yaml`, `title: s\ncharts:\n${`  - file: deep${level + 1}.yaml\n`.repeat(2)}`);
    file('deep18.yaml', chart('  A: |\n    1\n'));
    const { status, out } = run('check', join(folder.path, 'deep0.yaml'));
    expect(status).toBe(1);
    expect(out.match(/: \d+ errors?$/gm)).toHaveLength(17);
    expect(out.match(/deep18\.yaml: no fault$/gm)).toHaveLength(1);
  });

  it('within themselves are at fault where they are named', () => {
    const path = file('own.yaml', 'title: s\ncharts:\n  - other.yaml\n');
    file('other.yaml', 'title: s\ncharts:\n  - own.yaml\n');
    const { status, out } = run('check', path);
    expect(status).toBe(1);
    expect(out).toContain(
      'other.yaml:3:5: error: this set is made of itself: own.yaml has other.yaml has own.yaml; name a chart here\n',
    );
    for (const words of [
      ['show'],
      ['export', '--to', 'text', '-o', '-'],
      ['play', '--plain', '--out', 'none'],
    ])
      expect([1, 2]).toContain(run(words[0] as string, path, ...words.slice(1)).status);
  });
});

describe('no file ends the program in a way of its own', () => {
  it.each([
    ['letters on one line', 'one.txt', 'A '.repeat(250_000), ['--key', 'A']],
    ['words on one line', 'words.txt', 'zork '.repeat(200_000), ['--key', 'A']],
    ['remarks', 'remarks.yaml', `${'#\n'.repeat(400_000)}title: t\nkey: A\nsections:\n  A: |\n    1\n`, []],
    ['brackets', 'brackets.yaml', `a: ${'['.repeat(200_000)}`, []],
  ] as const)('%s', (_, name, text, flags) => {
    const path = file(name, text);
    const words = name.endsWith('.txt') ? ['import', path, ...flags] : ['show', path, '--as', 'chart'];
    const { status, ms } = run(...words);
    expect([0, 1]).toContain(status);
    expect(ms).toBeLessThan(limitMs);
  });

  it('a place below /proc cannot be written to, and that is said', () => {
    const { status, err } = run('export', demo('weir-hands'), '--to', 'abc', '-o', '/proc/barkline/song.abc');
    expect([2, 3]).toContain(status);
    expect(err).toContain('/proc/barkline/song.abc cannot be written');
  });
});
