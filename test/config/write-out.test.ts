import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { writeOut } from '../../src/config/write-out.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('a file that is handed out', () => {
  it('is written once, and over only when that is wanted', () => {
    const path = join(folder, 'new', 'song.abc');
    expect(writeOut(path, 'one', false)).toBeNull();
    expect(writeOut(path, 'two', false)).toEqual({
      reason: `${path} already exists; use --force to overwrite it`,
      blame: 'call',
    });
    expect(readFileSync(path, 'utf8')).toBe('one');
    expect(writeOut(path, Uint8Array.from([0x32]), true)).toBeNull();
    expect(readFileSync(path, 'utf8')).toBe('2');
    expect(readdirSync(join(folder, 'new'))).toEqual(['song.abc']);
  });

  it.each(['/dev/null/song.abc', '/proc/song.abc', '/proc/one/two/song.abc'])(
    'that cannot be written is told: %s',
    (path) => {
      for (const force of [false, true])
        expect(writeOut(path, 'one', force)?.reason).toMatch(/cannot be written: \w+/);
    },
  );

  it('that is large is written whole', () => {
    const path = join(folder, 'large');
    const bytes = new Uint8Array(5 << 20).fill(7);
    expect(writeOut(path, bytes, false)).toBeNull();
    expect(readFileSync(path).equals(bytes)).toBe(true);
  });
});
