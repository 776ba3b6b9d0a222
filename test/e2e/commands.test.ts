import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, program } from './harness.js';

/*
 * Every command once, from the bundle as it is installed: a module that is loaded only when it is wanted, or in another order than in the
 * sources, is missed by nothing else.
 */

const folder = freshFolder();
afterAll(() => folder.remove());
const chart = demo('weir-hands');
const fast = ['--plain', '--out', 'none', '--tempo', '400', '--count-in', '0', '--passes', '1'];

/** A call, what it prints, and its exit status. */
type Call = readonly [words: readonly string[], prints: RegExp, status: number];

const calls: readonly Call[] = [
  [['play', '--bars', '1 4 5 1', '--key', 'A', ...fast], /^pass 1 bar 4: 1, A, frets /m, 0],
  [['click', '400', '--bars', '2', '--plain', '--out', 'none'], /^bar 2$/m, 0],
  [['lead', chart, '--tempo', '1'], /tempo/i, 2],
  [['join', 'no-word', '--plain'], /word/i, 2],
  [['check', chart], /no fault/, 0],
  [['shed', 'path'], /./, 0],
  [['shed', 'today', '--minutes', '20', '--json'], /^\{/, 0],
  [['shed', 'plan', 'Ansa', '--text'], /Ansa/, 0],
  [['shed', 'drill', chart], /pairs/, 0],
  [['shed', 'unseen', '--seed', '7'], /sections:/, 0],
  [['shed', 'chop'], /./, 0],
  [['shed', 'speed'], /./, 0],
  [['shed', 'ear', '--help'], /Usage/, 0],
  [['shed', 'numbers'], /./, 0],
  [['diary'], /empty/, 0],
  [['new', '--help'], /Usage/, 0],
  [['import', 'test/fixtures/tunes.abc', '--list'], /./, 0],
  [['export', chart, '--to', 'text', '-o', '-'], /Weir Hands/, 0],
  [['export', chart, '--to', 'pdf', '-o', join(folder.path, 'a.pdf')], /a\.pdf/, 0],
  [['export', chart, '--to', 'midi', '-o', join(folder.path, 'a.mid')], /a\.mid/, 0],
  [['export', chart, '--to', 'musicxml', '-o', join(folder.path, 'a.musicxml')], /a\.musicxml/, 0],
  [['completion', 'bash'], /complete/, 0],
  [['find', '1', '4', '1', '5'], /Ropewalk Penny/, 0],
  [['show', chart, '--key', 'D'], /Weir Hands/, 0],
  [['show', demo('osier-lock-gathering')], /Osier/, 0],
  [['shapes', 'A', 'D'], /A/, 0],
  [['key', 'A'], /A/, 0],
  [['plan', chart], /Weir Hands/, 0],
  [['ports'], /none/, 0],
  [['listen', '--help'], /Usage/, 0],
  [['doctor', '--help'], /Usage/, 0],
  [['help', 'plain'], /Without a screen/i, 0],
];

function run(words: readonly string[]) {
  const { stdout, stderr, status } = spawnSync(process.execPath, [program, ...words], {
    env: cleanEnv(folder.path),
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe'],
    timeout: 30_000,
  });
  return { text: `${stdout}${stderr}`, status };
}

/** The commands that a help text lists. */
function commandsIn(...words: readonly string[]): readonly string[] {
  const [, list = ''] = run([...words, '--help']).text.split('\nCommands:\n');
  return [...(list.split('\n\n')[0] ?? '').matchAll(/^ {2}(\w[\w-]*)/gm)].map(([, name]) => name as string);
}

describe('each command, from the bundle', () => {
  it.each(calls)('answers and ends as it should: %s', (words, prints, wanted) => {
    const { text, status } = run(words);
    expect({ status, text }).toEqual({ status: wanted, text: expect.stringMatching(prints) });
    expect(text).not.toMatch(/^\s+at .*:\d+:\d+\)?$|Cannot find|is not a function|before initialization/m);
  });

  it('is called here', () => {
    const called = new Set(calls.map(([[one, two]]) => (one === 'shed' ? `shed ${two}` : one)));
    const all = [
      ...commandsIn().filter((name) => name !== 'shed'),
      ...commandsIn('shed')
        .filter((name) => name !== 'help')
        .map((name) => `shed ${name}`),
    ];
    expect(all.length).toBeGreaterThan(20);
    expect(all.filter((name) => !called.has(name))).toEqual([]);
  });
});
