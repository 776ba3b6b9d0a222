import { spawnSync } from 'node:child_process';
import { existsSync, statSync, writeFileSync } from 'node:fs';
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

/** Kinds of file that can be made in any size; what comes of them, and what must be said of the large one. */
interface Growing {
  readonly name: string;
  readonly size: number;
  readonly make: (size: number) => string;
  readonly words: readonly string[];
  readonly status: number;
  readonly says: string;
}
const growing: readonly (readonly [what: string, Growing])[] = [
  [
    'faults on one line',
    {
      name: 'line.yaml',
      size: 480_000,
      make: (size) => chart(`  A: |\n    ${'9 '.repeat(size)}\n`),
      words: ['check'],
      status: 1,
      says: ': 480000 errors; the first 100 are shown',
    },
  ],
  [
    'unknown names in the form',
    {
      name: 'form.yaml',
      size: 80_000,
      make: (size) => chart('  A: |\n    1\n', `form: ${rows(size, (at) => `B${at}, `)}A\n`),
      words: ['check'],
      status: 1,
      says: ': 80000 errors; the first 100 are shown',
    },
  ],
  [
    'sections made of what is not there',
    {
      name: 'made.yaml',
      size: 40_000,
      make: (size) => chart(rows(size, (at) => `  A${at}: all of B${at}\n`)),
      words: ['check'],
      status: 1,
      says: ': 40000 errors; the first 100 are shown',
    },
  ],
  [
    'sections',
    {
      name: 'sections.yaml',
      size: 56_000,
      make: (size) => chart(rows(size, (at) => `  A${at}: |\n    1\n`)),
      words: ['check'],
      status: 1,
      says: 'the form has more than 10000 bars',
    },
  ],
  [
    'sections that are each a whole one and more',
    {
      name: 'pieces.yaml',
      size: 15_000,
      make: (size) =>
        chart(
          `  C: |\n    |: ${'1 4 5 1 '.repeat(50)} :| x100\n${rows(size, (at) => `  E${at}: all of C + first 1 of C\n`)}  D: first 1 of E0${rows(size, (at) => ` + first 1 of E${at}`)}\n`,
          'form: D\n',
        ),
      words: ['check'],
      status: 1,
      says: 'than can be played',
    },
  ],
  [
    'times without a name',
    {
      name: 'times.yaml',
      size: 120_000,
      make: (size) => chart('  A: |\n    1\n', `form: A ${rows(size, (at) => `x${at} `)}\n`),
      words: ['check'],
      status: 1,
      says: 'is not an entry of a form',
    },
  ],
  [
    'parts of one name',
    {
      name: 'parts.abc',
      size: 4800,
      make: (size) => abc('P:A\n"C"z4 |\n'.repeat(size)),
      words: ['import'],
      status: 0,
      says: '  A 4800: |\n',
    },
  ],
  [
    'repeats that never close',
    {
      name: 'opens.abc',
      size: 4800,
      make: (size) => abc('|: "C"z4 |\n'.repeat(size)),
      words: ['import'],
      status: 0,
      says: 'and 4700 more like these',
    },
  ],
  [
    'notes of one line of a tune',
    {
      name: 'notes.yaml',
      size: 3000,
      make: (size) =>
        `${chart(`  A: |\n    ${'1 '.repeat(size)}\n`)}tune:\n  A: |\n    ${'(3CDE F>>G (5:2:5cdefg a-a | '.repeat(size)}\n`,
      words: ['check'],
      status: 0,
      says: 'no fault',
    },
  ],
  [
    'slurs, tuplets and graces of a tune',
    {
      name: 'notes.abc',
      size: 1200,
      make: (size) => abc(`${'((((3{ab}C)D)E> (F2) -F2<<G/|'.repeat(4)}\n`.repeat(size)),
      words: ['import'],
      status: 0,
      says: 'left out: grace notes',
    },
  ],
  [
    'chords of one bar',
    {
      name: 'chords.abc',
      size: 400,
      make: (size) => abc(`${'"C"z"D"z'.repeat(200)}\n`.repeat(size)),
      words: ['import'],
      status: 0,
      says: 'the rest of a very long bar is left out',
    },
  ],
  [
    'brackets without end',
    {
      name: 'braces.abc',
      size: 120,
      make: (size) => abc(`"C"z4|\n${`${'{'.repeat(19_000)}\n`.repeat(size)}`),
      words: ['import'],
      status: 0,
      says: 'unknown signs: {',
    },
  ],
  [
    'sections of one name',
    {
      name: 'sections.musicxml',
      size: 4800,
      make: (size) => score(`<measure>${rehearsal}${harmony}</measure>`.repeat(size)),
      words: ['import'],
      status: 0,
      says: '  A 4800: |\n',
    },
  ],
  [
    'chords of one measure',
    {
      name: 'chords.musicxml',
      size: 24_000,
      make: (size) => score(`<measure>${harmony.repeat(size)}</measure>`),
      words: ['import'],
      status: 0,
      says: 'is written as 2000 bars',
    },
  ],
  [
    'headings of one name',
    {
      name: 'headings.txt',
      size: 40_000,
      make: (size) => '[V]\nA\n'.repeat(size),
      words: ['import', '--key', 'A'],
      status: 1,
      says: 'no chart can be made of it',
    },
  ],
];

describe('the time grows with the size', () => {
  it.each(growing)('of %s', (_, { name, size, make, words, status, says }) => {
    const [command = '', ...flags] = words;
    const small = run(command, file(`small-${name}`, make(size / 4)), ...flags);
    const large = run(command, file(name, make(size)), ...flags);
    expect(large.out + large.err).toContain(says);
    expect([0, 1]).toContain(small.status);
    expect(large.status).toBe(status);
    expect(large.ms).toBeLessThan(limitMs);
    // Four times the size is at most four times the time, and less with the start in both; its square is up to sixteen times.
    expect(large.ms).toBeLessThan(5 * small.ms);
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
    expect(statSync(out).size).toBeGreaterThan(10_000_000);
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
      'other.yaml:3:5: error: this set contains itself: own.yaml has other.yaml has own.yaml; name a chart here\n',
    );
    const asked = [['show'], ['export', '--to', 'text', '-o', '-']];
    for (const [command = '', ...flags] of asked) {
      const other = run(command, path, ...flags);
      expect(other.status).toBe(1);
      expect(other.out + other.err).toContain('other.yaml: it is not a chart but set');
    }
  });
});

describe('no file ends the program in an unusual way', () => {
  it.each([
    [
      'letters on one line',
      'one.txt',
      'A '.repeat(450_000),
      ['--key', 'A'],
      1,
      'no chart can be made of it: the form has more than',
    ],
    [
      'words on one line',
      'words.txt',
      'zork '.repeat(200_000),
      ['--key', 'A'],
      1,
      'has 200000 errors; the first 100 are shown',
    ],
    [
      'remarks',
      'remarks.yaml',
      `${'#\n'.repeat(400_000)}title: t\nkey: A\nsections:\n  A: |\n    1\n`,
      [],
      0,
      '\ntitle: t\n',
    ],
    [
      'brackets',
      'brackets.yaml',
      `a: ${'['.repeat(200_000)}`,
      [],
      1,
      'the file is nested too deeply for a chart',
    ],
  ] as const)('%s', (_, name, text, flags, wanted, says) => {
    const path = file(name, text);
    const words = name.endsWith('.txt') ? ['import', path, ...flags] : ['show', path, '--as', 'chart'];
    const { status, ms, out, err } = run(...words);
    expect(out + err).toContain(says);
    expect(status).toBe(wanted);
    expect(ms).toBeLessThan(limitMs);
  });

  it('a place below /proc cannot be written to, and the program says so', () => {
    const { status, err } = run('export', demo('weir-hands'), '--to', 'abc', '-o', '/proc/barkline/song.abc');
    expect(status).toBe(3);
    expect(err).toContain('/proc/barkline/song.abc cannot be written');
  });
});
