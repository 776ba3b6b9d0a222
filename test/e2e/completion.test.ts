import { execFileSync, spawnSync } from 'node:child_process';
import { chmodSync, copyFileSync, mkdirSync, writeFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Terminal } from '../attack/terminal.js';
import { type FakeMidi, fakeMidi } from './fake-midi.js';
import { cleanEnv, demo, freshFolder, program } from './harness.js';
import { whereIs } from './installed.js';

/*
 * Completion in the shells themselves: what bash's own variables bring about, and Tab pressed on a terminal.
 */

const folder = freshFolder();
afterAll(() => folder.remove());
const work = join(folder.path, 'work');
let env: NodeJS.ProcessEnv = {};

beforeAll(() => {
  const own = join(folder.path, 'barkline/charts');
  for (const path of [work, join(work, 'sub dir'), join(own, 'wälzer'), join(folder.path, 'bin')])
    mkdirSync(path, { recursive: true });
  const name = join(folder.path, 'bin/barkline');
  writeFileSync(name, `#!/bin/sh\nexec '${process.execPath}' '${program}' "$@"\n`);
  chmodSync(name, 0o755);
  copyFileSync(demo('ropewalk-penny'), join(own, 'Mühle am Wehr.yaml'));
  copyFileSync(demo('ropewalk-penny'), join(own, 'wälzer/Ümlaut.yaml'));
  copyFileSync(demo('weir-hands'), join(work, "here's song.yaml"));
  writeFileSync(join(work, 'notes.txt'), 'x');
  env = cleanEnv(folder.path, {
    PATH: `${join(folder.path, 'bin')}${delimiter}${process.env.PATH}`,
    HOME: work,
  });
});

/** What bash is told at the end of a line: what its function leaves in COMPREPLY, and what it writes to the terminal. */
function bash(line: string): { offers: readonly string[]; err: string } {
  const script = `source <(barkline completion bash)
    COMP_LINE=$1 COMP_POINT=\${#1} COMP_WORDS=($1) COMP_CWORD=$((\${#COMP_WORDS[@]} - 1))
    _barkline barkline; printf '%s\\n' "\${COMPREPLY[@]}"`;
  const told = spawnSync('bash', ['--norc', '-c', script, 'bash', line], {
    encoding: 'utf8',
    env,
    cwd: work,
  });
  return { offers: told.stdout.split('\n').filter((one) => one !== ''), err: told.stderr };
}

describe('bash', () => {
  it.each([
    ['barkline imp', ['import']],
    ['barkline play --te', ['--tempo']],
    ['barkline show x --key Eb', ['Eb', 'Ebm']],
    ['barkline show x --key=Eb', ['Eb', 'Ebm']],
    ['barkline play --click b', ['backbeat']],
    ['barkline export --to m', ['midi', 'musicxml']],
    ['barkline click --meter 3', ['3/4']],
    ['barkline click --meter c', ['cut']],
    ['barkline play x --count-in ', ['0', '1', '2']],
    ['barkline export x --keys A,Eb', ['A,Eb', 'A,Ebm']],
    ['barkline shed unseen --level w', ['wicked']],
    ['barkline completion fi', ['fish']],
    ['barkline shed num', ['numbers']],
    ['barkline export --paper ', ['a4', 'letter']],
    ['barkline play rope', ['ropewalk-penny']],
    ['barkline play Müh', ['Mühle am Wehr']],
    ['barkline play M\\ü', ['Mühle am Wehr']],
    ['barkline play wä', ['wälzer/Ümlaut']],
    ['barkline play su', ['sub dir']],
    ['barkline play no', []],
    ['barkline import no', ['notes.txt']],
    ['barkline play here', ["here's song.yaml"]],
    ['barkline show sluice-gate-morning --for ', ['Ansa', 'Meerle']],
    ['barkline shed drill six', ['six-ways']],
    ['barkline shed drill x cha', ['chain']],
    ['barkline plan x --instrument mandoc', ['mandocello']],
    ['barkline play x --pattern walt', ['waltz']],
    ['barkline play x --out vi', ['virtual:']],
    ['barkline play x --out=so', ['sound']],
    ['barkline play x --voices click,ba', ['click,bass']],
    ['barkline help prac', ['practice']],
    ['barkline help sh', ['show', 'shed', 'shapes']],
    ['barkline nothing --ke', ['--keep']],
  ])('“%s”', (line, offers) => {
    const told = bash(line);
    expect([...told.offers].sort()).toEqual([...offers].sort());
    expect(told.err).toBe('');
  });

  it('takes little time of the processor', () => {
    const script = `TIMEFORMAT='%U %S'; for i in 1 2 3 4 5; do time barkline completion bash --answer -- '=:' 'barkline play ro' >/dev/null; done`;
    const { stderr } = spawnSync('bash', ['-c', script], { encoding: 'utf8', env, cwd: work });
    const took = stderr
      .trim()
      .split('\n')
      .map((line) => line.split(' ').reduce((sum, one) => sum + Number(one.replace(',', '.')), 0));
    expect(took).toHaveLength(5);
    expect(took.sort((one, other) => one - other)[2]).toBeLessThan(0.3);
  });

  it('is told nothing where there is no such program any more', () => {
    const script = `source <(barkline completion bash); PATH=/nowhere
      COMP_LINE='barkline pl' COMP_POINT=11; _barkline barkline; echo "<\${COMPREPLY[*]}>"`;
    const told = spawnSync(whereIs('bash') as string, ['-c', script], { encoding: 'utf8', env, cwd: work });
    expect([told.stdout, told.stderr]).toEqual(['<>\n', '']);
  });
});

describe('ports', () => {
  const offers = (kind: FakeMidi, line: string): string => {
    const words = ['completion', 'bash', '--answer', '--', '=:', line];
    return execFileSync(process.execPath, [program, ...words], {
      encoding: 'utf8',
      env: { ...env, ...fakeMidi(folder.path, kind), XDG_STATE_HOME: join(folder.path, kind) },
    });
  };
  /** A list is waited for no longer than a shell may be: on a busy machine it may come at the next Tab. */
  const offered = (line: string): string => {
    for (let tries = 0; tries < 20; tries += 1) {
      const text = offers('there', line);
      if (text.includes('Synth A')) return text;
    }
    return offers('there', line);
  };
  it('are offered by number and by name, for outputs and sources', () => {
    expect(offered('barkline play x --out midi:').split('\n').slice(2)).toEqual([
      '1',
      '2',
      'Synth A',
      'Synth B',
      '',
    ]);
    expect(offered('barkline play x --follow midi:S').split('\n').slice(2)).toEqual([
      'Synth A',
      'Synth B',
      '',
    ]);
    expect(offered('barkline ports --test "midi:S').split('\n').slice(2)).toEqual([
      'midi:Synth A',
      'midi:Synth B',
      '',
    ]);
  });
  it.each(['hung', 'broken'] as const)(
    'are left out, and the rest is offered, where their list is %s',
    (kind) => {
      const began = Date.now();
      expect(offers(kind, 'barkline play x --out ')).toBe('none space bare\n\nsound\nvirtual:\nraw:\nnone\n');
      // Not as long as a library hangs: that is for ever.
      expect(Date.now() - began).toBeLessThan(10_000);
    },
  );
});

const shells = {
  bash: [['bash', '--norc', '--noprofile', '-i'], 'source <(barkline completion bash)'],
  zsh: [['zsh', '-f', '-i'], 'source <(barkline completion zsh)'],
  fish: [['fish', '--no-config', '-i'], 'barkline completion fish | source'],
} as const;

describe.each(Object.entries(shells))('Tab in %s', (shell, [words, begin]) => {
  const isHere = whereIs(shell) !== null;
  if (!isHere) console.log(`left out: completion in ${shell}, which is not installed`);
  let sessions = 0;

  /** A shell with the completion, which says when it has read it. */
  const started = async (): Promise<Terminal> => {
    const own = join(folder.path, `home-${shell}-${sessions}`);
    sessions += 1;
    mkdirSync(own);
    const one = new Terminal(words, { env: { ...env, HOME: own, XDG_CACHE_HOME: own }, cwd: work });
    one.type(`${begin}; echo rea''dy\r`);
    expect(await one.shows('ready')).toBe(true);
    return one;
  };

  it.runIf(isHere).each([
    ['barkline sho', /missing required argument|needs/i],
    ['barkline show rope', 'Ropewalk Penny'],
    ['barkline show Müh', 'Ropewalk Penny'],
    ['barkline show wäl', 'Ropewalk Penny'],
    ["barkline show 'Müh", 'Ropewalk Penny'],
    ['barkline show here', 'Weir Hands'],
    ['barkline show sluice-gate-morning --key=Eb', /key E(?:b|♭)/],
    ['barkline show sluice-gate-morning --for An', 'Sluice Gate Morning'],
  ])('“%s” is completed so that the shell runs it', async (line, shows) => {
    const terminal = await started();
    // Shells read the next key when the completion is done.
    terminal.type(`${line}\t\r`);
    expect(await terminal.shows(shows)).toBe(true);
    expect(terminal.text).not.toMatch(/command not found|parse error|unmatched|Unexpected/i);
    await terminal.close();
  });
});
