import { spawn } from 'node:child_process';
import { appendFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { appendLine, diaryPath, isPersonName } from '../../src/config/diary-file.js';
import { diaryLine, readDiary } from '../../src/shed/diary.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const entry = {
  at: 1,
  what: 'numbers',
  drill: null,
  title: 'q',
  file: null,
  changes: [],
  key: 'A',
  bpm: 0,
  target: 0,
  pattern: null,
  result: 'clean',
  ms: 5,
} as const;

describe('appendLine', () => {
  it('makes the folder, appends, and ends a torn line first', () => {
    const path = diaryPath('Ansa', folder);
    expect(path).toBe(join(folder, 'who', 'Ansa', 'diary.jsonl'));
    expect(appendLine(path, 'one')).toBeNull();
    appendFileSync(path, '{"v":1,"at":');
    expect(appendLine(path, 'two')).toBeNull();
    expect(readFileSync(path, 'utf8')).toBe('one\n{"v":1,"at":\ntwo\n');
  });

  it('says why it cannot', () => {
    expect(appendLine(join(folder, 'x', '\u0000', 'diary.jsonl'), 'one')).toMatch(/cannot be written/);
  });

  it('loses nothing when the process is killed at random in a thousand appends, while another writes too', async () => {
    const path = diaryPath(null, folder);
    // Each process appends numbered lines as fast as it can, and tells on stdout which have been acknowledged.
    const code = (from: number): string => `
      const { appendLine } = await import(${JSON.stringify(join(process.cwd(), 'dist/config/diary-file.js'))});
      const { diaryLine } = await import(${JSON.stringify(join(process.cwd(), 'dist/shed/diary.js'))});
      const { writeSync } = await import('node:fs');
      for (let at = ${from}; ; at += 1) {
        const failed = appendLine(${JSON.stringify(path)}, diaryLine({ ...${JSON.stringify(entry)}, at }));
        if (failed === null) writeSync(1, at + ' ');
      }`;
    const acknowledged: number[] = [];
    for (let round = 0; acknowledged.length < 1000; round += 1) {
      const both = [round * 1e6, round * 1e6 + 5e5].map((from) =>
        spawn(process.execPath, ['--input-type=module', '-e', code(from)], {
          stdio: ['ignore', 'pipe', 'inherit'],
        }),
      );
      await Promise.all(
        both.map(
          (child, index) =>
            new Promise<void>((resolve) => {
              let told = '';
              child.stdout.on('data', (data: Buffer) => {
                told += data.toString();
                if (told.length > 700 + ((round * 7919 + index * 104729) % 900)) child.kill('SIGKILL');
              });
              child.on('close', () => {
                // The last number may itself be cut off.
                acknowledged.push(...told.split(' ').slice(0, -1).map(Number));
                resolve();
              });
            }),
        ),
      );
    }
    const { entries, aside } = readDiary(readFileSync(path, 'utf8'));
    const kept = new Set(entries.map(({ at }) => at));
    expect(acknowledged.length).toBeGreaterThanOrEqual(1000);
    expect(acknowledged.filter((at) => !kept.has(at))).toEqual([]);
    expect(kept.size).toBe(entries.length);
    expect(aside.every(({ why }) => why === 'the line is cut short')).toBe(true);
    expect(diaryLine(entry)).toContain('"v":1');
  }, 60_000);
});

describe('isPersonName', () => {
  it.each(['Ansa', 'Brannoch Tew', 'Åse-2'])('%s is one', (name) => {
    expect(isPersonName(name)).toBe(true);
  });
  it.each(['', '..', '../x', 'a/b', ' a', '.hidden', 'a\u0000'])('%j is none', (name) => {
    expect(isPersonName(name)).toBe(false);
  });
});
