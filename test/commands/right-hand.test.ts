import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const program = new URL('../../dist/main.js', import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), 'barkline-hand-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const env = { ...process.env, XDG_STATE_HOME: folder, XDG_DATA_HOME: folder, XDG_CONFIG_HOME: folder };

function run(...words: string[]): { status: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...words], {
    encoding: 'utf8',
    env,
    cwd: folder,
  });
  return { status, out: stdout, err: stderr };
}

const chart = (name: string, head: string): string => {
  writeFileSync(
    join(folder, name),
    `title: Osier Steps\nkey: G\ntempo: 200\n${head}\nsections:\n  V: |\n    1 4 5 1\n  tag: last 2 of V\n`,
  );
  return name;
};

const loud = 'bass: walk\nform: V (soft), V (banjo, up), tag (: last-two, full, plain)';

describe('check', () => {
  it.each([
    [
      'pattern: cut\nform: V, tag',
      '“cut” is for meters felt in two, such as cut time, 2/4 or 6/8; in 4/4 use low-chop',
    ],
    [
      'form: V (me: waltz), tag',
      '“waltz” is for meters felt in three, such as 3/4 or 9/8; in 4/4 use low-chop',
    ],
    [
      'form: V (me: soft), tag',
      '“soft” is not a pattern but says how a part is played; write it alone or after a comma: (soft), (me, soft)',
    ],
    ['form: V (sotf), tag', '“sotf” is read as who leads; did you mean “soft”?'],
  ])('warns of %s', (head, sentence) => {
    const { status, out } = run('check', chart('odd.yaml', head));
    expect(status).toBe(0);
    expect(out).toContain(sentence);
  });

  it.each([
    ['form: V (soft, full), tag', 'there is too much here: “soft” and “full”'],
    ['bass: wlak', '“wlak” is not a way to play the bass; did you mean “walk”?'],
  ])('refuses %s', (head, sentence) => {
    const { status, out } = run('check', chart('wrong.yaml', head));
    expect(status).toBe(1);
    expect(out).toContain(sentence);
  });

  it('finds no fault with levels, bass and endings, nor with patterns that the meter has', () => {
    expect(run('check', chart('loud.yaml', loud)).out).toBe('loud.yaml: no fault\n');
    expect(run('check', chart('two.yaml', 'meter: cut\npattern: cut\nform: V, tag')).out).toBe(
      'two.yaml: no fault\n',
    );
  });
});

describe('show', () => {
  it('has them in the form, in the canonical chart, and a level in the document', () => {
    const file = chart('loud.yaml', loud);
    expect(run('show', file).out).toContain('form: V (soft), V (banjo, up), tag (: last-two, full, plain)');
    const written = run('show', file, '--as', 'tidy-chart').out;
    expect(written).toContain('bass: walk\n');
    expect(written).toContain('form: V (soft), V (banjo, up), tag (: last-two, full, plain)\n');
    writeFileSync(join(folder, 'again.yaml'), written);
    expect(run('show', 'again.yaml', '--as', 'tidy-chart').out).toBe(written);
    const { bars } = JSON.parse(run('show', file, '--json').out);
    expect(bars.map(({ level }: { level?: string }) => level)).toStrictEqual(
      ['soft', 'up'].flatMap((level) => Array(4).fill(level)).concat(['full', 'full']),
    );
  });
});

describe('export', () => {
  it.each(['abc', 'musicxml'])('says what %s cannot hold of them', (format) => {
    const { err } = run('export', chart('loud.yaml', loud), '--to', format, '-o', '-');
    expect(err).toContain('how loud a part is');
    expect(err).toContain('runs of the bass');
  });

  it('prints the form with them', () => {
    expect(run('export', chart('loud.yaml', loud), '--to', 'text', '-o', '-').out).toContain(
      'V (soft), V (banjo, up), tag (: last-two, full, plain)',
    );
  });
});
