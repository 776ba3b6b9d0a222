import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fileLines } from '../../src/config/lines.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const told = (text: string | Uint8Array, options = {}): string[] => {
  writeFileSync(join(folder, 'file'), text);
  return [...fileLines(join(folder, 'file'), options)].map(({ number, text: line }) => `${number} ${line}`);
};

describe('lines of a file', () => {
  it.each<[string, string[]]>([
    ['', []],
    ['a', ['1 a']],
    ['a\n', ['1 a']],
    ['a\n\nb', ['1 a', '2 ', '3 b']],
    ['\n', ['1 ']],
  ])('of %j are %j', (text, lines) => {
    expect(told(text)).toEqual(lines);
  });

  it('are whole across the pieces in which they are read, and cut off where they are too long', () => {
    const long = 'é'.repeat(300_000);
    expect(told(`one\n${long}\nthree\n`)).toEqual(['1 one', `2 ${long}`, '3 three']);
    expect(told(`one\n${'x'.repeat(600_000)}\nthree\n`, { longest: 10 })).toEqual([
      '1 one',
      '2 xxxxxxxxxx',
      '3 three',
    ]);
  });

  it('can be only the last ones, with the numbers that they have in the file', () => {
    const text = Array.from({ length: 50_000 }, (_, index) => `line ${index + 1}`).join('\n');
    const last = ['49999 line 49999', '50000 line 50000'];
    expect(told(text, { last: 2 })).toEqual(last);
    expect(told(`${text}\n`, { last: 2 })).toEqual(last);
  });

  it('are none where there is no file, and a pipe is not waited for', () => {
    expect([...fileLines(join(folder, 'none'))]).toEqual([]);
    execFileSync('mkfifo', [join(folder, 'pipe')]);
    expect(() => [...fileLines(join(folder, 'pipe'))]).toThrow('it is a pipe');
  });
});
