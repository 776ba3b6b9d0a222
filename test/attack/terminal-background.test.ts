import { afterAll, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, pause, program } from '../e2e/harness.js';
import { Terminal } from './terminal.js';

const folder = freshFolder();
afterAll(() => folder.remove());

const question = '\u001b]11;?\u001b\\';
const light = '\u001b]11;rgb:ffff/ffff/ffff';
const dark = '\u001b]11;rgb:0000/0000/0000';

function opened(env: Record<string, string> = {}, term?: string): Terminal {
  const { COLORFGBG: _, NO_COLOR: __, ...others } = cleanEnv(folder.path);
  const clean = { ...others, ...env };
  const words = [process.execPath, program, 'play', demo('weir-hands'), '--out', 'none'];
  return new Terminal(words, { env: clean, ...(term === undefined ? {} : { term }) });
}

/** What was written since. */
async function since(terminal: Terminal, from: number, wanted: RegExp): Promise<string> {
  for (let tries = 0; tries < 200 && !wanted.test(terminal.text.slice(from)); tries += 1) await pause(50);
  return terminal.text.slice(from);
}

describe('a terminal that is asked for its background', () => {
  it('is not waited for: everything is drawn without an answer, in no colours that need one', async () => {
    const terminal = opened();
    try {
      expect(await terminal.shows(/ready/)).toBe(true);
      expect(terminal.text).toContain(question);
      expect(terminal.text).not.toMatch(/\u001b\[[\d;]*3[0-7]m/);
      terminal.type('q');
      expect(await terminal.ends()).toBe(0);
    } finally {
      await terminal.close();
    }
  });

  it.each([
    ['light, ended by BEL', [`${light}\u0007`], /\u001b\[34m/, /\u001b\[(1;)?3[36]m/],
    [
      'light, ended by ST, in three reads',
      ['\u001b]11;rgb:ff', 'ff/ffff/ff', 'ff\u001b\\'],
      /\u001b\[34m/,
      /\u001b\[(1;)?3[36]m/,
    ],
    ['light, byte by byte', [...`${light}\u001b\\`], /\u001b\[34m/, /\u001b\[(1;)?3[36]m/],
    ['light, with 8-bit controls', [`\u009d${light.slice(2)}\u009c`], /\u001b\[34m/, /\u001b\[(1;)?3[36]m/],
    ['dark', [`${dark}\u0007`], /\u001b\[36m/, /\u001b\[34m/],
  ] as const)(
    'answers late, and is drawn anew for it; no key is pressed by that: %s',
    async (_, parts, wanted, unwanted) => {
      const terminal = opened();
      try {
        expect(await terminal.shows(/ready/)).toBe(true);
        await pause(300);
        const from = terminal.bytes.length === 0 ? 0 : terminal.text.length;
        for (const part of parts) {
          terminal.type(part);
          await pause(12);
        }
        const drawn = await since(terminal, from, wanted);
        expect(drawn).toMatch(wanted);
        expect(drawn).not.toMatch(unwanted);
        // Figures would set a share of the tempo, `;` nothing, `f` the large letters, Escape would leave.
        await pause(200);
        expect(terminal.text.slice(from)).not.toMatch(/% of the chart|needs|\d+%/);
        expect(terminal.status).toBeNull();
        const before = terminal.text.length;
        terminal.type('5');
        expect(await since(terminal, before, /50 % of the chart/)).toMatch(/50 % of the chart/);
        terminal.type('q');
        expect(await terminal.ends()).toBe(0);
      } finally {
        await terminal.close();
      }
    },
  );

  it.each([
    ['NO_COLOR', { NO_COLOR: '1' }, undefined],
    ['the Linux console', {}, 'linux'],
  ] as const)('is not asked: %s', async (_, env, term) => {
    const terminal = opened(env, term);
    try {
      expect(await terminal.shows(/ready/)).toBe(true);
      expect(terminal.text).not.toContain('\u001b]11');
      terminal.type('q');
      expect(await terminal.ends()).toBe(0);
    } finally {
      await terminal.close();
    }
  });

  it('is not asked where the settings say it, and they hold though it tells another', async () => {
    const { mkdirSync, writeFileSync } = await import('node:fs');
    const own = freshFolder();
    mkdirSync(`${own.path}/barkline`, { recursive: true });
    writeFileSync(`${own.path}/barkline/settings.yaml`, 'background: light\n');
    const terminal = opened({ XDG_CONFIG_HOME: own.path });
    try {
      expect(await terminal.shows(/ready/)).toBe(true);
      expect(terminal.text).not.toContain('\u001b]11');
      expect(terminal.text).toMatch(/\u001b\[34m/);
      const from = terminal.text.length;
      terminal.type(`${dark}\u0007`);
      await pause(300);
      expect(terminal.text.slice(from)).not.toMatch(/\u001b\[36m/);
      terminal.type('q');
      expect(await terminal.ends()).toBe(0);
    } finally {
      await terminal.close();
      own.remove();
    }
  });
});
