import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  existsSync,
  linkSync,
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { asidePath, sweep } from '../../src/config/asides.js';
import { writeWhole } from '../../src/config/write-file.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('a whole file', () => {
  it('keeps its permissions, and what it is a link to is written', () => {
    const file = join(folder, 'file');
    writeFileSync(file, 'old');
    chmodSync(file, 0o600);
    symlinkSync('file', join(folder, 'link'));
    expect(writeWhole(join(folder, 'link'), 'new', { over: true })).toBe(file);
    expect(readFileSync(file, 'utf8')).toBe('new');
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(lstatSync(join(folder, 'link')).isSymbolicLink()).toBe(true);
    expect(readdirSync(folder).sort()).toEqual(['file', 'link']);
  });

  it('is made where a link leads that leads nowhere yet', () => {
    symlinkSync('later', join(folder, 'link'));
    expect(() => writeWhole(join(folder, 'link'), 'new', { over: false })).toThrow('it already exists');
    expect(writeWhole(join(folder, 'link'), 'new', { over: true })).toBe(join(folder, 'later'));
    expect(readdirSync(folder).sort()).toEqual(['later', 'link']);
    symlinkSync('round', join(folder, 'round'));
    expect(() => writeWhole(join(folder, 'round'), 'new', { over: true })).toThrow('points to itself');
  });

  it('stays one file under all its names, longer or shorter than before', () => {
    const [one, other] = [join(folder, 'one'), join(folder, 'other')];
    writeFileSync(one, 'before');
    linkSync(one, other);
    writeWhole(one, 'a good deal longer than before', { over: true });
    expect(readFileSync(other, 'utf8')).toBe('a good deal longer than before');
    writeWhole(other, 'short', { over: true });
    expect(readFileSync(one, 'utf8')).toBe('short');
    expect(statSync(one).nlink).toBe(2);
    expect(readdirSync(folder).sort()).toEqual(['one', 'other']);
  });

  it('that nobody may write to stays as it is, whoever asks', () => {
    const file = join(folder, 'file');
    writeFileSync(file, 'old');
    chmodSync(file, 0o444);
    expect(() => writeWhole(file, 'new', { over: true })).toThrow('it is read-only');
    expect(readFileSync(file, 'utf8')).toBe('old');
    expect(statSync(file).mode & 0o777).toBe(0o444);
  });

  it('takes the place of no pipe, device or folder', () => {
    execFileSync('mkfifo', [join(folder, 'pipe')]);
    symlinkSync('/dev/null', join(folder, 'null'));
    expect(() => writeWhole(join(folder, 'pipe'), 'new', { over: true })).toThrow('it is a pipe, not a file');
    expect(() => writeWhole(join(folder, 'null'), 'new', { over: true })).toThrow('it is a device');
    expect(() => writeWhole(folder, 'new', { over: true })).toThrow('it is a folder');
    expect(lstatSync(join(folder, 'pipe')).isFIFO()).toBe(true);
    expect(readdirSync(folder).sort()).toEqual(['null', 'pipe']);
  });

  it('leaves no folder that was made for it in vain', () => {
    const name = 'x'.repeat(300);
    expect(() => writeWhole(join(folder, 'a', 'b', name), 'new', { over: true })).toThrow('too long');
    expect(existsSync(join(folder, 'a'))).toBe(false);
  });

  it('never takes the place of one that is there unless it may', () => {
    const file = join(folder, 'file');
    expect(writeWhole(file, 'one', { over: false })).toBe(file);
    expect(() => writeWhole(file, 'two', { over: false })).toThrow('it already exists');
    expect(readFileSync(file, 'utf8')).toBe('one');
  });
});

describe('what was written aside', () => {
  it('has a name of its own each time, and no chart’s', () => {
    const names = Array.from({ length: 50 }, () => asidePath(folder));
    expect(new Set(names).size).toBe(50);
    expect(names.some((name) => /yaml$/.test(name))).toBe(false);
  });

  it('is swept when it is old or nobody’s, and nothing else is', () => {
    const now = 1.8e12;
    const put = (name: string, ageMs: number): void => {
      writeFileSync(join(folder, name), '');
      utimesSync(join(folder, name), (now - ageMs) / 1000, (now - ageMs) / 1000);
    };
    const mine = (letter: string): string => `.barkline-${process.pid}-${letter.repeat(16)}.part`;
    put(mine('a'), 60 * 60_000);
    put(mine('b'), 25 * 60 * 60_000);
    // No process has so high a number.
    put('.barkline-4194305-cccccccccccccccc.part', 2 * 60_000);
    put('.barkline-4194305-dddddddddddddddd.part', 1000);
    put('.barkline-4194305-eeee.part', 25 * 60 * 60_000);
    put('song.yaml.1234', 25 * 60 * 60_000);
    sweep(folder, now);
    expect(readdirSync(folder).sort()).toEqual(
      [
        mine('a'),
        '.barkline-4194305-dddddddddddddddd.part',
        '.barkline-4194305-eeee.part',
        'song.yaml.1234',
      ].sort(),
    );
  });
});
