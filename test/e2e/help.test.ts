import { chmodSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { Terminal } from '../attack/terminal.js';
import { cleanEnv, freshFolder, program } from './harness.js';
import { runs } from './installed.js';

const home = freshFolder();
afterAll(() => home.remove());
const { PAGER: _, LESS: __, NO_COLOR: ___, ...env } = cleanEnv(home.path);
const help = (...words: string[]) => runs(process.execPath, [program, 'help', ...words], { env });

/** What a terminal shows at the end of a call, and its status. `path`: where programs are looked for. */
async function onTerminal(more: NodeJS.ProcessEnv, term = 'xterm-256color', topic: string, path?: string) {
  // What makes the terminal needs a search path of its own.
  const before = path === undefined ? [] : ['env', `PATH=${path}`];
  const terminal = new Terminal([...before, process.execPath, program, 'help', topic], {
    columns: 100,
    rows: 30,
    env: { ...env, ...more },
    term,
  });
  const status = await terminal.ends(20_000);
  const { text } = terminal;
  await terminal.close();
  return { status, text: text.replaceAll('\r\n', '\n') };
}

describe('help through a pipe', () => {
  it('lists the pages, and prints them without a style or a pager', async () => {
    const list = await help();
    expect(list).toMatchObject({ err: '', status: 0 });
    expect(list.out).toMatch(/^HELP\n[\s\S]*\n {2}stand +the chart on the screen/);
    const page = await runs(process.execPath, [program, 'help', 'hand'], { env: { ...env, PAGER: 'false' } });
    expect(page).toMatchObject({ err: '', status: 0 });
    expect(page.out).toMatch(/^THE HAND\n/);
    expect(page.out).not.toContain('\u001b');
    expect(Math.max(...page.out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80);
  });

  it('prints a command, and one within another', async () => {
    expect((await help('play')).out).toMatch(/^BARKLINE PLAY\n[\s\S]*--to-tempo <tempo>/);
    expect((await help('shed', 'drill')).out).toMatch(/^BARKLINE SHED DRILL\n/);
  });

  it('prints Markdown: a page, and all of them', async () => {
    expect((await help('--markdown', 'care')).out).toMatch(/^# Hands and ears\n/);
    const whole = (await help('--markdown')).out;
    for (const title of ['# The stand', '# Commands', '# Keys', '# Settings', '# Writing charts'])
      expect(whole).toContain(`\n${title}\n`.slice(title === '# The stand' ? 1 : 0));
  });

  it('offers the nearest page or command', async () => {
    const told = await help('stnad');
    expect(told).toEqual({
      out: '',
      err: 'barkline: there is no page “stnad”; did you mean “stand”?\nbarkline help lists the pages, and barkline --help lists the commands\n',
      status: 2,
    });
    expect((await help('exprot')).err).toContain('did you mean “export”?');
  });
});

describe('help on a terminal', () => {
  it('is shown by the pager that PAGER names, with bold headings', async () => {
    const pager = join(home.path, 'pager');
    writeFileSync(pager, '#!/bin/sh\necho "paged by $1"; cat\n');
    chmodSync(pager, 0o755);
    const { status, text } = await onTerminal({ PAGER: `${pager} me` }, undefined, 'care');
    expect(status).toBe(0);
    expect(text).toMatch(/^paged by me\n\u001b\[1mHANDS AND EARS\u001b\[0m\n/);
    expect((await onTerminal({ PAGER: pager, NO_COLOR: '1' }, undefined, 'care')).text).not.toContain(
      '\u001b',
    );
  });

  it('is printed where there is no pager, or no terminal that can move about', async () => {
    const none = await onTerminal({}, undefined, 'care', '/nowhere');
    expect(none.status).toBe(0);
    expect(none.text).toMatch(/^HANDS AND EARS\n/);
    const unknown = await onTerminal({ PAGER: 'no-such-pager' }, undefined, 'care');
    expect(unknown.status).toBe(0);
    expect(unknown.text).toMatch(/not found[\s\S]*\nHANDS AND EARS\n/);
    const dumb = await onTerminal({ PAGER: 'false' }, 'dumb', 'care');
    expect(dumb).toMatchObject({ status: 0 });
    expect(dumb.text).toMatch(/^HANDS AND EARS\n/);
  });

  it('ends well when the pager is left early', async () => {
    const { status } = await onTerminal({ PAGER: 'head -1' }, undefined, 'commands');
    expect(status).toBe(0);
  });

  it.skipIf(!process.env.PATH?.split(':').some((folder) => folder === dirname('/usr/bin/less')))(
    'is turned over with less, and left with q',
    async () => {
      const terminal = new Terminal([process.execPath, program, 'help', 'commands'], { env });
      expect(await terminal.shows('barkline play')).toBe(true);
      terminal.type('/--to-tempo\r');
      expect(await terminal.shows('bar by bar')).toBe(true);
      terminal.type('q');
      expect(await terminal.ends()).toBe(0);
      await terminal.close();
    },
  );
});
