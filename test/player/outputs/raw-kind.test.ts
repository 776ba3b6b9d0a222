import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, type Stats, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { unfit } from '../../../src/player/outputs/raw-kind.js';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-kind-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** What the system says of a kind of file that a test cannot make without privileges. */
const stat = (kind: keyof Stats): Stats =>
  ({
    isFIFO: () => false,
    isCharacterDevice: () => false,
    isFile: () => false,
    isDirectory: () => false,
    isBlockDevice: () => false,
    isSocket: () => false,
    [kind]: () => true,
  }) as unknown as Stats;

describe('MIDI bytes go', () => {
  it('to a pipe and to a character device', () => {
    const pipe = join(folder, 'pipe');
    execFileSync('mkfifo', [pipe]);
    expect(unfit(statSync(pipe), pipe, 'a raw output')).toBeNull();
    expect(unfit(statSync('/dev/null'), '/dev/null', 'a raw output')).toBeNull();
  });

  it('to nothing else', () => {
    const file = join(folder, 'file');
    writeFileSync(file, '');
    expect(unfit(statSync(file), 'P', 'a raw output')).toBe(
      'P is a regular file; a raw output is a named pipe or a MIDI device',
    );
    expect(unfit(statSync(folder), 'P', 'a raw output')).toContain('P is a folder; a raw output');
    expect(unfit(stat('isBlockDevice'), 'P', 'a raw output')).toContain(
      'P is a disk or another block device;',
    );
    expect(unfit(stat('isSocket'), 'P', 'a raw output')).toContain('P is a socket;');
    expect(unfit(stat('isSymbolicLink'), 'P', 'a raw output')).toContain('P is neither a pipe nor a device;');
  });
});
