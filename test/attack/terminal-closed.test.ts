import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  cleanEnv,
  demo,
  freshFolder,
  hanging,
  noteOns,
  PipeReader,
  playersMarked,
  program,
  settled,
  until,
} from '../e2e/harness.js';
import { Terminal } from './terminal.js';

const folder = freshFolder();
let reader: PipeReader;

beforeAll(() => {
  reader = new PipeReader(folder.path);
});
afterAll(() => {
  reader.close();
  folder.remove();
});

describe('a terminal that is closed', () => {
  for (const [way, words, go] of [
    ['the stand', [], ' '],
    ['what is played plainly', ['--plain'], ''],
  ] as const) {
    it(`ends ${way} in silence, without a core`, async () => {
      const command = [process.execPath, program, 'play', demo('sluice-gate-morning'), '--count-in', '0'];
      const terminal = new Terminal([...command, '--out', `raw:${reader.path}`, ...words], {
        env: cleanEnv(folder.path, { BARKLINE_TEST: way }),
      });
      try {
        const before = reader.arrivals().length;
        const heard = () => reader.arrivals().slice(before);
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
