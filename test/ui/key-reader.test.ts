import { EventEmitter } from 'node:events';
import { describe, expect, it, vi } from 'vitest';
import { KeyReader, type Pasted } from '../../src/ui/key-reader.js';

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

/** What comes of chunks that arrive one after the other, `ms` apart: presses, pastes and floods in their order. */
function told(chunks: readonly string[], ms = 0): unknown[] {
  vi.useFakeTimers();
  try {
    const terminal = new Terminal();
    const reader = new KeyReader(terminal);
    const events: unknown[] = [];
    reader.on('readable', () => events.push(reader.read()));
    reader.on('paste', (pasted: Pasted) => events.push(pasted));
    reader.on('flood', () => events.push('flood'));
    for (const chunk of chunks) {
      terminal.emit('data', chunk);
      vi.advanceTimersByTime(ms);
    }
    vi.advanceTimersByTime(5000);
    return events;
  } finally {
    vi.useRealTimers();
  }
}

describe('pasted text', () => {
  it('is told as a whole, and is no press', () => {
    expect(told(['a\u001b[200~q w\nq\u001b[201~b'])).toEqual(['a', { text: 'q w\nq', more: false }, 'b']);
  });

  it('is found however it is cut into chunks', () => {
    const text = 'a\u001b[200~one\u001b[1mtwo\u001b[201~b';
    for (let at = 3; at < text.length; at += 1)
      expect(told([text.slice(0, at), text.slice(at)], 5)).toEqual([
        'a',
        { text: 'one\u001b[1mtwo', more: false },
        'b',
      ]);
    expect(
      told(
        [...text].map((one, index) => (index === 1 ? '\u001b[' : index === 2 ? '' : one)),
        5,
      ),
    ).toEqual(['a', { text: 'one\u001b[1mtwo', more: false }, 'b']);
  });

  it('is bounded, and says that there was more', () => {
    const chunks = ['\u001b[200~', ...Array.from({ length: 50 }, () => 'x'.repeat(1000)), '\u001b[201~q'];
    expect(told(chunks)).toEqual([{ text: 'x'.repeat(400), more: true }, 'q']);
  });

  it('whose end never comes is over after a while', () => {
    expect(told(['\u001b[200~abc', 'q'], 2000)).toEqual([{ text: 'abc', more: false }, 'q']);
  });
});

describe('more presses at once than can be meant', () => {
  it('are dropped, which is told once, and what comes after a moment is obeyed', () => {
    expect(told(['x '.repeat(2000), ' q'.repeat(2000), 'q'], 30)).toEqual(['flood']);
    expect(told(['x '.repeat(2000), ' q'.repeat(2000), 'q'], 200).filter((one) => one !== 'flood')).toEqual([
      'q',
    ]);
  });

  it('are more than a fast hand makes while the program is busy', async () => {
    const presses = 'x'.repeat(200);
    expect((await turns(presses)).flat().join('')).toBe(presses);
  });
});

it('a sequence that comes in two parts is one press; one that never ends, its characters', () => {
  expect(told(['\u001b[1;', '5C'], 5)).toEqual(['\u001b[1;5C']);
  expect(told(['\u001b[1', 'x'], 100)).toEqual(expect.arrayContaining(['x']));
});
