import { describe, expect, it } from 'vitest';
import { hanging, noteOns, pause, playersMarked, settled, until } from '../e2e/harness.js';
import { intoPipe } from './into-pipe.js';
import { Terminal } from './terminal.js';

const { play, env, fromNow } = intoPipe();

/** Leaving takes a second at most; what is beyond is for busy machines. */
const leaveMs = 3000;

function start(mark: string, ...words: string[]): Terminal {
  return new Terminal(play('sluice-gate-morning', ...words), { env: env(mark) });
}

/** Stops reading, and has so much drawn that the terminal is full. */
async function stall(terminal: Terminal): Promise<void> {
  terminal.reads(false);
  for (let index = 0; index < 40; index += 1) {
    terminal.resize(100 + (index % 2), 30);
    await pause(25);
  }
}

describe('a terminal that stops reading', () => {
  for (const [way, leave, status] of [
    ['q', (terminal: Terminal) => terminal.type('q'), 0],
    ['SIGTERM', (terminal: Terminal) => process.kill(terminal.pid ?? 0, 'SIGTERM'), 143],
  ] as const) {
    it(`is left by ${way} while the stand plays, in silence`, async () => {
      const terminal = start(`stalled ${way}`);
      try {
        expect(await terminal.shows('ready')).toBe(true);
        const heard = fromNow();
        terminal.type(' ');
        expect(await until(() => noteOns(heard()).length > 4)).toBe(true);
        await stall(terminal);
        const asked = Date.now();
        leave(terminal);
        expect(await terminal.ends(leaveMs)).toBe(status);
        expect(Date.now() - asked).toBeLessThan(leaveMs);
        await settled(heard);
        expect(hanging(heard())).toEqual([]);
        expect(playersMarked(`stalled ${way}`)).toEqual([]);
      } finally {
        await terminal.close();
      }
    });
  }

  it('is left by SIGTERM when Ctrl-S has stopped what is played plainly, in silence', async () => {
    const terminal = start('stalled plain', '--plain', '--passes', '9', '--tempo', '400');
    try {
      const heard = fromNow();
      expect(await terminal.shows('pass 1 bar 2')).toBe(true);
      terminal.type('\u0013');
      await pause(1500);
      process.kill(terminal.pid ?? 0, 'SIGTERM');
      expect(await terminal.ends(leaveMs)).toBe(143);
      await settled(heard);
      expect(hanging(heard())).toEqual([]);
    } finally {
      await terminal.close();
    }
  });

  it('has the whole screen again when it reads on', async () => {
    const terminal = start('reads on');
    try {
      expect(await terminal.shows('ready')).toBe(true);
      await stall(terminal);
      terminal.resize(100, 30);
      const before = terminal.text.length;
      terminal.reads(true);
      expect(await until(() => /Sluice Gate Morning/.test(terminal.text.slice(before)), 4000)).toBe(true);
      terminal.type('q');
      expect(await terminal.ends()).toBe(0);
      expect(terminal.text).toMatch(/\u001b\[\?2004l\u001b\[\?25h\u001b\[\?1049l$/);
    } finally {
      await terminal.close();
    }
  });
});
