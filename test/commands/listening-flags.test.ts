import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { Stop } from '../../src/commands/exit.js';
import { listeningFlags, refuseListening } from '../../src/commands/listening-flags.js';

const folder = mkdtempSync(join(tmpdir(), 'barkline-flags-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const off = { listen: { on: false, level: 'steady' }, microphone: null } as const;
const on = { listen: { on: true, level: 'job' }, microphone: { kind: 'microphone', name: 'Desk' } } as const;

function stopOf(act: () => unknown): Stop {
  try {
    act();
  } catch (error) {
    if (error instanceof Stop) return error;
    throw error;
  }
  throw new Error('it was not refused');
}

describe('listeningFlags', () => {
  it.each([
    [{}, off, false],
    [{ listen: true }, off, true],
    [{ microphone: 'Desk' }, off, true],
    [{ keep: join(folder, 'new.wav') }, off, true],
    [{}, on, true],
    [{ listen: false }, on, false],
    [{ listen: false, microphone: 'Desk' }, on, false],
  ])('%o with %o: %s', (flags, settings, wanted) => {
    expect(listeningFlags(flags, settings).on).toBe(wanted);
  });

  it('takes microphone and level of the settings where the command line names none', () => {
    expect(listeningFlags({}, on).listening).toMatchObject({ from: on.microphone, level: 'job', keep: null });
    expect(listeningFlags({ microphone: 'raw:/tmp/x' }, on).listening.from).toMatchObject({ kind: 'raw' });
    expect(listeningFlags({}, off).listening.from).toEqual({ kind: 'microphone', name: null });
  });

  it('writes over no file, and keeps nothing without listening', () => {
    const there = join(folder, 'there.wav');
    writeFileSync(there, '');
    const refused = stopOf(() => listeningFlags({ keep: there }, off));
    expect([refused.status, refused.what]).toEqual([
      2,
      `${there} already exists; a recording never overwrites a file`,
    ]);
    expect(stopOf(() => listeningFlags({ keep: 'x.wav', listen: false }, on)).status).toBe(2);
    expect(stopOf(() => listeningFlags({ microphone: 'raw:' }, off)).what).toContain('the path is missing');
  });
});

describe('refuseListening', () => {
  it.each([[{ listen: true }], [{ microphone: 'Desk' }], [{ keep: 'x.wav' }]])('refuses %o', (flags) => {
    const refused = stopOf(() => refuseListening(flags, 'leave out --plain'));
    expect(refused.status).toBe(2);
    expect(refused.what).toMatch(
      /^--\w+ needs the full screen, which shows what is heard; leave out --plain$/,
    );
  });

  it('lets be what asks for no listening', () => {
    expect(() => refuseListening({ listen: false }, '')).not.toThrow();
    expect(() => refuseListening({}, '')).not.toThrow();
  });
});
