import { describe, expect, it } from 'vitest';
import { hanging, noteOns, playersMarked, settled, until } from '../e2e/harness.js';
import { intoPipe } from './into-pipe.js';
import { Terminal } from './terminal.js';

const { play, env, fromNow } = intoPipe();

describe('a terminal that is closed', () => {
  for (const [way, words, go] of [
    ['the stand', [], ' '],
    ['what is played plainly', ['--plain'], ''],
  ] as const) {
    it(`ends ${way} in silence, without a core`, async () => {
      const terminal = new Terminal(play('sluice-gate-morning', ...words), { env: env(way) });
      try {
        const heard = fromNow();
        expect(await terminal.shows(go === '' ? 'pass 1' : 'ready')).toBe(true);
        if (go !== '') terminal.type(go);
        expect(await until(() => noteOns(heard()).length > 4)).toBe(true);
        terminal.hangUp();
        expect(await terminal.ends()).toBe(129);
        await settled(heard);
        expect(hanging(heard())).toEqual([]);
        expect(await until(() => playersMarked(way).length === 0)).toBe(true);
      } finally {
        await terminal.close();
      }
    });
  }
});
