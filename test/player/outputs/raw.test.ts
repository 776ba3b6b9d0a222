import { execFileSync } from 'node:child_process';
import {
  closeSync,
  constants,
  mkdtempSync,
  openSync,
  readSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openRaw } from '../../../src/player/outputs/raw.js';
import { messagesOf } from '../../midi-stream.js';

let folder = '';
let pipe = '';
let told: string[] = [];
const tell = (message: string): number => told.push(message);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-raw-'));
  pipe = join(folder, 'pipe');
  execFileSync('mkfifo', [pipe]);
  told = [];
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
});

afterEach(() => {
  vi.useRealTimers();
  rmSync(folder, { recursive: true });
});

const openReader = (): number => openSync(pipe, constants.O_RDONLY | constants.O_NONBLOCK);

/** All messages that lie in the pipe. */
function read(reader: number): number[][] {
  const bytes: number[] = [];
  const buffer = Buffer.alloc(65_536);
  for (;;) {
    try {
      const count = readSync(reader, buffer, 0, buffer.length, null);
      if (count === 0) break;
      bytes.push(...buffer.subarray(0, count));
    } catch (error) {
      expect((error as NodeJS.ErrnoException).code).toBe('EAGAIN');
      break;
    }
  }
  return messagesOf(bytes);
}

describe('openRaw refuses', () => {
  it('a regular file, and leaves it as it is', () => {
    const path = join(folder, 'notes.txt');
    writeFileSync(path, 'keep me');
    expect(() => openRaw(path, tell)).toThrow(`${path} is a regular file; a raw output is a named pipe`);
    symlinkSync(path, join(folder, 'link'));
    expect(() => openRaw(join(folder, 'link'), tell)).toThrow('is a regular file');
    expect(execFileSync('cat', [path], { encoding: 'utf8' })).toBe('keep me');
  });

  it('a folder', () => {
    expect(() => openRaw(folder, tell)).toThrow(`${folder} is a folder; a raw output is a named pipe`);
  });

  it('a path that is not there, and does not make it', () => {
    const path = join(folder, 'nothing');
    expect(() => openRaw(path, tell)).toThrow(`there is no ${path}; make a pipe with mkfifo`);
    expect(() => openRaw(path, tell)).toThrow('there is no');
  });
});

describe('a raw output', () => {
  it('writes what belongs to one instant at once', () => {
    const reader = openReader();
    const raw = openRaw(pipe, tell);
    raw.send(0x90, 60, 90, 0);
    raw.send(0x91, 64, 80, 0);
    expect(read(reader)).toStrictEqual([]);
    raw.flush();
    expect(read(reader)).toStrictEqual([
      [0x90, 60, 90],
      [0x91, 64, 80],
    ]);
    raw.close();
    closeSync(reader);
    expect(told).toStrictEqual([]);
  });

  it('writes what is left when it is closed', () => {
    const reader = openReader();
    const raw = openRaw(pipe, tell);
    raw.send(0x80, 60, 0, 0);
    raw.close();
    expect(read(reader)).toStrictEqual([[0x80, 60, 0]]);
    closeSync(reader);
  });

  it('takes a device', () => {
    const raw = openRaw('/dev/null', tell);
    raw.send(0x90, 60, 90, 0);
    raw.flush();
    raw.close();
    expect([raw.label, raw.lead, told]).toStrictEqual(['raw /dev/null', 0, []]);
  });

  it('waits for a reader, says so, and sends no end of a note that was never heard', () => {
    const raw = openRaw(pipe, tell);
    expect(told).toStrictEqual([`nobody reads ${pipe} yet; waiting for a reader`]);
    raw.send(0x90, 60, 90, 0);
    raw.flush();
    const reader = openReader();
    vi.advanceTimersByTime(1000);
    expect(told[1]).toBe(`${pipe} is being read now`);
    raw.send(0x80, 60, 0, 0);
    raw.flush();
    raw.send(0x90, 62, 90, 0);
    raw.flush();
    expect(read(reader)).toStrictEqual([[0x90, 62, 90]]);
    raw.close();
    closeSync(reader);
  });

  it('says when its reader has gone, and goes on with the next', () => {
    const first = openReader();
    const raw = openRaw(pipe, tell);
    closeSync(first);
    raw.send(0x90, 60, 90, 0);
    raw.flush();
    expect(told).toStrictEqual([`the reader of ${pipe} has gone; waiting for another`]);
    const second = openReader();
    vi.advanceTimersByTime(1000);
    raw.send(0x90, 64, 90, 0);
    raw.flush();
    expect(read(second)).toStrictEqual([[0x90, 64, 90]]);
    raw.close();
    closeSync(second);
  });

  it('never blocks on a full pipe, and every note it sent is ended once it is read', () => {
    const reader = openReader();
    const raw = openRaw(pipe, tell);
    // A pipe holds 64 KiB; this is three times as much.
    for (let turn = 0; turn < 32_000; turn += 1) {
      raw.send(0x90, 40 + (turn % 60), 90, 0);
      raw.flush();
      if (turn > 0) raw.send(0x80, 40 + ((turn - 1) % 60), 0, 0);
      raw.flush();
    }
    expect(told).toStrictEqual([
      `${pipe} is full because its reader is slow; notes are dropped until it catches up`,
    ]);
    const messages = read(reader);
    raw.send(0x80, 40 + (31_999 % 60), 0, 0);
    raw.close();
    messages.push(...read(reader));
    const open = new Map<number, number>();
    for (const [status, note] of messages as [number, number][])
      open.set(note, (open.get(note) ?? 0) + (status === 0x90 ? 1 : -1));
    expect(messages.length).toBeGreaterThan(20_000);
    expect([...open].filter(([, count]) => count !== 0)).toStrictEqual([]);
    closeSync(reader);
  });

  it('writes nothing to a file that was put in the pipe’s place, and goes on when a pipe is there again', () => {
    const first = openReader();
    const raw = openRaw(pipe, tell);
    closeSync(first);
    raw.send(0x90, 60, 90, 0);
    raw.flush();
    rmSync(pipe);
    writeFileSync(pipe, '');
    told = [];
    vi.advanceTimersByTime(1000);
    raw.send(0x90, 62, 90, 0);
    raw.flush();
    expect(statSync(pipe).size).toBe(0);
    rmSync(pipe);
    execFileSync('mkfifo', [pipe]);
    const second = openReader();
    vi.advanceTimersByTime(1000);
    raw.send(0x90, 64, 90, 0);
    raw.flush();
    expect(read(second)).toStrictEqual([[0x90, 64, 90]]);
    expect(told).toStrictEqual([`${pipe} is being read now`]);
    raw.close();
    closeSync(second);
  });

  it('says what stands there when the first thing it opens is no pipe', () => {
    const raw = openRaw(pipe, tell);
    rmSync(pipe);
    writeFileSync(pipe, 'keep me');
    vi.advanceTimersByTime(1000);
    raw.send(0x90, 62, 90, 0);
    raw.close();
    expect(execFileSync('cat', [pipe], { encoding: 'utf8' })).toBe('keep me');
  });

  it('leaves no note sounding in a pipe that is full at the end', () => {
    const reader = openReader();
    const raw = openRaw(pipe, tell);
    const strike = (note: number): void => {
      raw.send(0x90, note, 90, 0);
      raw.send(0xf8, 0, 0, 0);
      raw.flush();
    };
    strike(59);
    const heard = read(reader);
    for (let turn = 0; turn < 32_000; turn += 1) strike(40 + (turn % 12));
    for (const note of [59, ...Array.from({ length: 12 }, (_, index) => 40 + index)])
      raw.send(0x80, note, 0, 0);
    raw.send(0xfc, 0, 0, 0);
    raw.flush();
    raw.close();
    heard.push(...read(reader));
    const sounding = new Set<number>();
    for (const [status, note = 0] of heard) {
      if (status === 0x90) sounding.add(note);
      if (status === 0x80) sounding.delete(note);
    }
    expect([...sounding]).toStrictEqual([]);
    // Gear that follows is told to stop.
    expect(heard.at(-1)).toStrictEqual([0xfc]);
    closeSync(reader);
  });

  it('shares a pipe with another: whole messages, each with its status', () => {
    const reader = openReader();
    const [one, other] = [openRaw(pipe, tell), openRaw(pipe, tell)];
    for (const note of [60, 61]) {
      one.send(0x90, note, 90, 0);
      one.flush();
      other.send(0x82, note, 0, 0);
      other.flush();
    }
    expect(read(reader)).toStrictEqual([
      [0x90, 60, 90],
      [0x82, 60, 0],
      [0x90, 61, 90],
      [0x82, 61, 0],
    ]);
    one.close();
    other.close();
    closeSync(reader);
  });
});
