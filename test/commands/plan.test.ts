import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const program = new URL('../../dist/main.js', import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), 'barkline-plan-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function file(name: string, text: string): string {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
}

const run = (...words: string[]) =>
  spawnSync(process.execPath, [program, ...words], {
    encoding: 'utf8',
    env: { ...process.env, XDG_CONFIG_HOME: folder },
  });

const three = file(
  'three.yaml',
  'title: Three Posts\nkey: Ab\ntempo: 120\nsections:\n  V: |\n    1 4 1 5\nform: V\n',
);

describe('plan', () => {
  it('prints one document with every change, its alternatives and the hardest', () => {
    const plan = JSON.parse(run('plan', three, '--json').stdout);
    expect(plan).toMatchObject({ key: 'Ab', instrument: 'mandolin' });
    expect(plan.changes.map((one: { bar: number; frets: unknown }) => [one.bar, one.frets])).toEqual([
      [1, [8, 6, 3, 4]],
      [2, [6, 3, 4, null]],
      [3, [8, 6, 3, 4]],
      [4, [8, 5, 6, null]],
    ]);
    // 1 to 5 with the little finger planted, the slide (ring, index, middle) among the alternatives (common practice).
    expect(plan.changes[3]).toMatchObject({ fingers: [4, 2, 3, null], glance: 'stay L · M to D, R to A' });
    expect(plan.changes[3].alternatives).toContainEqual(
      expect.objectContaining({ frets: [8, 5, 6, null], fingers: [3, 1, 2, null] }),
    );
    expect(plan.changes[0].ms).toBeGreaterThan(0);
    expect(plan.hardest[0]).toEqual(
      expect.objectContaining({ from: expect.any(String), ms: expect.any(Number), times: 1 }),
    );
    const ms = plan.hardest.map((one: { ms: number }) => one.ms);
    expect(ms).toEqual([...ms].sort((one, other) => other - one));
  });

  it('prints words, shapes as drawings, and other ways when asked', () => {
    const text = run('plan', three, '--no-unicode', '--explain').stdout;
    expect(text).toContain(
      'v bass                     same frets, one course to the bass side; little lifts',
    );
    expect(text).toContain('\nshapes\n');
    expect(text).toContain('  E |--|-M|--|--|--|--|');
    expect(text).toMatch(/or {5}8-5-6-x +R I M \. +\d+ ms more a pass/);
    expect(text).toMatch(/hardest changes\n.* to .* ms, 1 time, fits up to \d+ quarters a minute/);
    expect([...text].every((character) => character.charCodeAt(0) < 128)).toBe(true);
  });

  it('takes a hand from a file, and from the settings', () => {
    const hand = file('hand.yaml', 'name: after the plaster\nwithout: little\n');
    const plain = JSON.parse(run('plan', three, '--hand', hand, '--json').stdout);
    expect(plain.changes.flatMap((one: { fingers: number[] }) => one.fingers)).not.toContain(4);
    const set = join(folder, 'barkline', 'settings.yaml');
    spawnSync('mkdir', ['-p', join(folder, 'barkline')]);
    writeFileSync(set, 'hand:\n  without: little\n');
    expect(JSON.parse(run('plan', three, '--json').stdout).changes).toEqual(plain.changes);
    writeFileSync(set, 'hand: tiny\n');
    expect(run('plan', three, '--json').stderr).toContain('“tiny” is not a hand');
    rmSync(set);
  });

  it.each([
    [['--hand', 'litle'], '“litle” is not a hand'],
    [['--without', 'thumb'], '“thumb” is not a finger'],
    [['--frets', '9-3'], '“9-3” is not a range of frets'],
    [['--home', 'middle'], '“middle” is not a position on the neck; write low, high, or frets such as 5-9'],
    [['--start', 'A'], '“A” is not a shape'],
    [['--start', '9-7-4-5'], 'is not a shape of the first chord that this hand can hold'],
    [['--hold', 'stedy'], 'did you mean “steady”?'],
  ])('answers %j with a sentence and 2', (words, wanted) => {
    const { status, stderr } = run('plan', three, ...words);
    expect(status).toBe(2);
    expect(stderr).toContain(wanted);
  });

  it('answers a hand file with faults with its places and 1', () => {
    const { status, stderr } = run('plan', three, '--hand', file('bad.yaml', 'without: thumb\n'));
    expect(status).toBe(1);
    expect(stderr).toMatch(/bad\.yaml:1:10: .*“thumb” is not a finger/);
  });
});

describe('key', () => {
  it('says the family, the moves and the shapes, the 1 where the family has it', () => {
    const document = JSON.parse(run('key', 'B', '--from', 'A', '--json').stdout);
    expect(document).toMatchObject({
      key: 'B',
      family: 'four-finger',
      from: { key: 'A', family: 'the four-finger family stays, 2 frets toward the bridge' },
    });
    // In B everything lies whole at 11-9-6-7, 9-6-7-x, 11-8-9-x (common practice).
    const frets = (number: string) =>
      document.shapes.find((one: { number: string }) => one.number === number).frets;
    expect([frets('1'), frets('4'), frets('5')]).toEqual([
      [11, 9, 6, 7],
      [9, 6, 7, null],
      [11, 8, 9, null],
    ]);
    expect(document.moves.map((one: { from: string; to: string }) => `${one.from} ${one.to}`)).toEqual([
      '1 4',
      '4 1',
      '1 5',
      '5 1',
      '4 5',
      '5 4',
    ]);
    for (const { ms, bpm, glance, prompt } of document.moves) {
      expect(bpm).toBe(Math.floor(60_000 / (ms + 60)));
      expect(run('key', 'B').stdout).toContain(
        `${glance.padEnd(26)} ${prompt} (${ms} ms, fits up to ${bpm})`,
      );
    }
  });

  it('shows a left-handed player the neck and the arrows the other way round', () => {
    const settings = join(folder, 'barkline', 'settings.yaml');
    spawnSync('mkdir', ['-p', join(folder, 'barkline')]);
    const usual = run('key', 'D').stdout;
    expect(usual).toContain('→ bridge 2');
    for (const text of ['neck: left-handed\n', 'hand:\n  left-handed: yes\n']) {
      writeFileSync(settings, text);
      const mirrored = run('key', 'D').stdout;
      expect(mirrored).toContain('← bridge 2');
      expect(mirrored).toContain('↗ nut 2');
      expect(mirrored).toMatch(/^ {2}┼──┼──┼M─┼──┼ A/m);
      const plan = run('plan', three).stdout;
      expect(plan).toMatch(/^ {2}┼──┼──┼──┼──┼M─┼──┼ E/m);
      expect(run('shapes', 'D').stdout).toMatch(/^ {2}┼──┼──┼M─┼──┼ A/m);
      expect(JSON.parse(run('key', 'D', '--json').stdout).moves[4].glance).toBe('← bridge 2');
    }
    writeFileSync(settings, 'neck: right-handed\nhand:\n  left-handed: yes\n');
    expect(run('key', 'D').stdout).toBe(usual);
    writeFileSync(settings, 'neck: ceiling up, say ceiling\n');
    expect(run('key', 'D').stdout).toMatch(/↑ bass +same frets, one course toward the ceiling; little lifts/);
    rmSync(settings);
    const hand = file('left.yaml', 'left-handed: yes\n');
    expect(run('plan', three, '--hand', hand).stdout).toMatch(/^ {2}┼──┼──┼──┼──┼M─┼──┼ E/m);
    expect(run('shapes', 'D', '--hand', hand).stdout).toMatch(/^ {2}┼──┼──┼M─┼──┼ A/m);
  });

  it('says when the family changes, and draws the shapes', () => {
    const text = run('key', 'D', '--from', 'A').stdout;
    expect(text).toContain('from A: from the four-finger to the three-finger family');
    expect(text).toContain('  E ┼╌╌┼╌╌┼');
    expect(run('key', 'H').status).toBe(2);
  });
});
