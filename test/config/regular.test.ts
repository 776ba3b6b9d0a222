import { execFileSync } from 'node:child_process';
import { appendFileSync, closeSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readInput } from '../../src/config/files.js';
import { openRegular, readOpened, readRegular } from '../../src/config/regular.js';
import { readSettings } from '../../src/config/settings.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('what comes from outside', () => {
  it('is a regular file, and never waited for', () => {
    const pipe = join(folder, 'pipe.yaml');
    execFileSync('mkfifo', [pipe]);
    expect(() => readRegular(pipe, 10)).toThrow('it is a pipe, not a file');
    expect(() => readInput(pipe)).toThrow(`${pipe} is a pipe, not a file`);
    expect(() => readRegular(folder, 10)).toThrow('it is a folder, not a file');
    for (const device of ['/dev/zero', '/dev/null', '/dev/full']) {
      const link = join(folder, `${device.slice(5)}.yaml`);
      symlinkSync(device, link);
      expect(() => readRegular(link, 10)).toThrow('it is a device, not a file');
    }
  });

  it('is read up to one byte more than its limit', () => {
    const file = join(folder, 'file');
    writeFileSync(file, 'abcdefghij');
    expect(Buffer.from(readRegular(file, 10)).toString()).toBe('abcdefghij');
    expect(readRegular(file, 4)).toHaveLength(5);
    const large = new Uint8Array(100_000).fill(7);
    writeFileSync(file, large);
    expect(Buffer.from(readRegular(file, 1 << 20)).equals(large)).toBe(true);
  });

  it('is read to its end though it grows after it was opened', () => {
    const file = join(folder, 'file');
    writeFileSync(file, '');
    const descriptor = openRegular(file);
    appendFileSync(file, 'x'.repeat(50_000));
    expect(readOpened(descriptor, 1 << 20)).toHaveLength(50_000);
    closeSync(descriptor);
  });

  it('settings that are a pipe are told, and the usual ones hold', () => {
    execFileSync('mkfifo', [join(folder, 'settings.yaml')]);
    const { settings, faults } = readSettings(folder);
    expect(faults).toEqual([`${join(folder, 'settings.yaml')} cannot be read: it is a pipe, not a file`]);
    expect(settings.target).toBe(1);
  });
});
