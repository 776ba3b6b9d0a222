import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { drawnSigns } from '../../src/commands/doctor/signs.js';
import { fakeMidi } from '../e2e/fake-midi.js';
import { cleanEnv, freshFolder, playersMarked, program, until } from '../e2e/harness.js';
import { runs } from '../e2e/installed.js';
import { Terminal } from './terminal.js';

/*
 * barkline doctor where everything is against it: terminals that stop reading, vanish, or answer what is no answer; folders full of what is
 * no chart. It ends in its time, with what it found.
 */

const folder = freshFolder();
afterAll(() => folder.remove());
let homes = 0;

function envOf(mark = ''): NodeJS.ProcessEnv {
  homes += 1;
  const at = join(folder.path, `home${homes}`);
  mkdirSync(at);
  const { COLORFGBG: _, NO_COLOR: __, ...env } = cleanEnv(at, fakeMidi(folder.path, 'there'));
  return { ...env, BARKLINE_TEST: mark };
}

const question = '\u001b[6n';
const doctor = (env: NodeJS.ProcessEnv, ...words: string[]): Terminal =>
  new Terminal([process.execPath, program, 'doctor', '--no-network', ...words], { env });

describe('a terminal', () => {
  it('that no longer reads does not keep it from ending', async () => {
    // Something else has filled it already, so that not a byte is taken.
    const script = `head -c 100000 /dev/zero | tr '\\0' x & sleep 1; '${process.execPath}' '${program}' doctor --no-network; echo $? > "$RESULT"`;
    const result = join(folder.path, 'result');
    const terminal = new Terminal(['bash', '-c', script], { env: { ...envOf('stalled'), RESULT: result } });
    terminal.reads(false);
    const ended = (): string => (existsSync(result) ? readFileSync(result, 'utf8').trim() : '');
    expect(await until(() => ended() !== '', 40_000)).toBe(true);
    expect(ended()).toBe('0');
    expect(playersMarked('stalled')).toEqual([]);
    terminal.reads(true);
    await terminal.close();
  });

  it('that vanishes ends it, and leaves no process behind', async () => {
    const terminal = doctor(envOf('gone'), '--wait', '60');
    expect(await terminal.shows(question)).toBe(true);
    terminal.hangUp();
    expect(await until(() => terminal.status !== null, 40_000)).toBe(true);
    expect(await until(() => playersMarked('gone').length === 0, 20_000)).toBe(true);
    await terminal.close();
  });

  it.each([
    ['keys without end', 'x'.repeat(500_000)],
    ['places that are none', '\u001b[99999999;99999999R\u001b[;R\u001b[-1;2R\u001b[1;2;3R'.repeat(50)],
    ['a background that is none', '\u001b]11;rgb:zz/zz/zz\u0007\u001b]11;?\u0007\u001b]11;rgb:'],
    ['more places than were asked for', '\u001b[5;2R'.repeat(drawnSigns.length * 3)],
    ['what another program’s answers are', '\u001bP>|x(1)\u001b\\\u001b[?62;4c\u001b[8;24;80t'],
  ])('that sends %s is told apart from one that answers', async (kind, sent) => {
    const terminal = doctor(envOf());
    expect(await terminal.shows(question)).toBe(true);
    terminal.type(sent);
    expect(await terminal.ends(60_000)).toBe(0);
    const shown = terminal.text.replace(/\r?\n +/g, ' ');
    expect(shown).toMatch(/background +does not work/);
    expect(shown).toMatch(kind.startsWith('more places') ? /signs +works/ : /signs +not tried/);
    await terminal.close();
  });
});

describe('folders', () => {
  it('full of what is no chart are looked at for a bounded time, and each is told', async () => {
    const env = envOf();
    const own = join(env.XDG_DATA_HOME ?? '', 'barkline/charts');
    mkdirSync(join(own, 'folder.yaml'), { recursive: true });
    execFileSync('mkfifo', [join(own, 'pipe.yaml')]);
    symlinkSync('loop.yaml', join(own, 'loop.yaml'));
    symlinkSync('/dev/zero', join(own, 'zero.yaml'));
    writeFileSync(join(own, 'bytes.yaml'), Buffer.alloc(4096, 0xff));
    writeFileSync(join(own, 'large.yaml'), Buffer.alloc(9 << 20, 'a'));
    for (let number = 0; number < 3000; number += 1)
      writeFileSync(join(own, `x${number}.yaml`), 'title: x\n');
    const told = await runs(process.execPath, [program, 'doctor', '--no-network', '--json', '--wait', '4'], {
      env,
    });
    expect(told.status).toBe(1);
    const { checks } = JSON.parse(told.out);
    const { found } = checks.find((one: { name: string }) => one.name === 'charts');
    const names = found.unreadable.map(({ file }: { file: string }) => file.split('/').at(-1));
    expect(names).toEqual(
      expect.arrayContaining(['folder.yaml', 'pipe.yaml', 'loop.yaml', 'zero.yaml', 'bytes.yaml']),
    );
    expect(found.looked + found.more).toBeGreaterThan(3000);
  });

  it('whose settings are a pipe or without end are told', async () => {
    for (const make of [
      (path: string) => execFileSync('mkfifo', [path]),
      (path: string) => symlinkSync('/dev/zero', path),
      (path: string) => mkdirSync(path),
    ]) {
      const env = envOf();
      make(join(env.XDG_CONFIG_HOME ?? '', 'barkline/settings.yaml'));
      const told = await runs(process.execPath, [program, 'doctor', '--no-network', '--wait', '10'], { env });
      expect(told.status).toBe(1);
      expect(told.out).toMatch(/^settings +does not work +.*settings\.yaml cannot be read: /m);
    }
  });
});
