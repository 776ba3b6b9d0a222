import { execFile } from 'node:child_process';
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, program, root } from '../e2e/harness.js';

const folder = freshFolder();
afterAll(() => folder.remove());

/** Runs a line of the shell, in which `$1` is Node and `$2` the program; answers its exit status and what it said. */
function shell(line: string): Promise<{ status: number; err: string; out: string }> {
  return new Promise((resolve) => {
    execFile(
      'bash',
      [
        '-c',
        line,
        'bash',
        process.execPath,
        program,
        demo('weir-hands'),
        join(root, 'test/fixtures/tunes.abc'),
      ],
      { env: cleanEnv(folder.path), cwd: folder.path, timeout: 100_000 },
      (error, out, err) =>
        resolve({ status: typeof error?.code === 'number' ? error.code : error ? -1 : 0, err, out }),
    );
  });
}

const writing: readonly string[] = [
  'show "$3"',
  'show "$3" --json',
  'show "$3" --as chart',
  'show "$3" --as tidy-chart',
  'check "$3"',
  'plan "$3"',
  'import "$4" --tune 1',
  'import "$4" --list',
  'export "$3" --to abc -o -',
  'export "$3" --to midi -o -',
  'export "$3" --to pdf -o -',
  'export "$3" --to text',
  'shed drill "$3"',
  'shed chop',
  'diary',
  'completion bash',
  'ports',
  'key A',
  'shapes A',
  'play "$3" --plain --out none',
  '--help',
  '--version',
];

describe('stdout that can take no more', () => {
  it.concurrent.each(writing)('is an error of the machine, said in a sentence: %s', async (words) => {
    const { status, err } = await shell(`"$1" "$2" ${words} > /dev/full`);
    expect(status).toBe(3);
    expect(err.match(/^barkline: stdout cannot be written: the disk is full; .+\n.+\n/gm)).toHaveLength(1);
    expect(err).not.toMatch(/^ +at /m);
  });

  it('is noticed when the last write was only cut short', async () => {
    // A size limit of one block of 1024 bytes: a longer write is cut short, and the next one fails.
    const cut = await shell(`trap '' XFSZ; ulimit -f 1; exec "$1" "$2" plan "$3" > cut`);
    expect(statSync(join(folder.path, 'cut')).size).toBe(1024);
    expect(cut.status).toBe(3);
    expect(cut.err).toMatch(/^barkline: stdout cannot be written: EFBIG/m);
  });

  it.concurrent.each(writing)('is no error when its reader has gone: %s', async (words) => {
    const { out, err } = await shell(
      `set -o pipefail; { "$1" "$2" ${words}; echo "ended $?" >&2; } | head -c 10 > /dev/null`,
    );
    expect(out).toBe('');
    expect(err).toMatch(/^ended 0$/m);
    expect(err).not.toContain('stdout');
  });

  it('is no error on stderr, where nobody could be told', async () => {
    const { status, out } = await shell('"$1" "$2" show "$3" --key zz 2> /dev/full; echo "ended $?"');
    expect(status).toBe(0);
    expect(out).toBe('ended 2\n');
  });
});
