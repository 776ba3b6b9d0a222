import { EventEmitter } from 'node:events';
import { describe, expect, it, vi } from 'vitest';
import { KeyReader } from '../../src/ui/key-reader.js';

class Terminal extends EventEmitter {
  isTTY = true;
  raw: boolean[] = [];
  setRawMode(on: boolean): void {
    this.raw.push(on);
  }
  setEncoding(): void {}
  ref(): void {}
  unref(): void {}
}

/** What a listener that reads until nothing is left is given, turn by turn. */
async function turns(...chunks: string[]): Promise<string[][]> {
  const terminal = new Terminal();
  const reader = new KeyReader(terminal);
  const given: string[][] = [];
  const done = new Promise<void>((resolve) => {
    let left = chunks.join('').length;
    reader.on('readable', () => {
      const turn: string[] = [];
      for (let press = reader.read(); press !== null; press = reader.read()) turn.push(press);
      given.push(turn);
      left -= turn.join('').length;
      if (left === 0) resolve();
    });
  });
  for (const chunk of chunks) terminal.emit('data', chunk);
  await done;
  return given;
}

describe('KeyReader', () => {
  it.each([
    ['characters', '++q', ['+', '+', 'q']],
    ['arrows', '\u001b[B\u001b[B\u001b[A', ['\u001b[B', '\u001b[B', '\u001b[A']],
    ['page and home keys', '\u001b[5~\u001bOH\u001b[1;5C', ['\u001b[5~', '\u001bOH', '\u001b[1;5C']],
    ['escape before another key', '\u001b\u001b[B', ['\u001b', '\u001b[B']],
    ['characters beyond the basic plane', '𝄞é', ['𝄞', 'é']],
  ])('hands over %s one at a time, each in a turn of its own', async (_, chunk, presses) => {
    expect(await turns(chunk)).toEqual(presses.map((press) => [press]));
  });

  it('keeps the order over several chunks', async () => {
    expect((await turns('ab', 'c', '\u001b[B')).flat()).toEqual(['a', 'b', 'c', '\u001b[B']);
  });

  it('passes raw mode on, and takes nothing once closed', () => {
    const terminal = new Terminal();
    const reader = new KeyReader(terminal);
    reader.setRawMode(true);
    reader.close();
    terminal.emit('data', 'q');
    expect(terminal.raw).toEqual([true]);
    expect(reader.read()).toBeNull();
  });
});

describe('what is pressed while a frame is drawn', () => {
  it('waits until its components listen', async () => {
    const terminal = new Terminal();
    const reader = new KeyReader(terminal);
    const given: string[] = [];
    reader.on('readable', () => given.push(reader.read() ?? ''));
    reader.hold();
    terminal.emit('data', 'ab');
    for (let turn = 0; turn < 10; turn += 1) await new Promise((resolve) => setImmediate(resolve));
    expect(given).toEqual([]);
    reader.release();
    for (let turn = 0; turn < 10; turn += 1) await new Promise((resolve) => setImmediate(resolve));
    expect(given).toEqual(['a', 'b']);
  });

  it('does not wait for components that never say so', () => {
    vi.useFakeTimers();
    const terminal = new Terminal();
    const reader = new KeyReader(terminal);
    const given: string[] = [];
    reader.on('readable', () => given.push(reader.read() ?? ''));
    reader.hold();
    terminal.emit('data', 'a');
    vi.advanceTimersByTime(200);
    expect(given).toEqual(['a']);
    vi.useRealTimers();
  });
});
