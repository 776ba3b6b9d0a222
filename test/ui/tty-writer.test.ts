import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { PatientWriter } from '../../src/ui/tty-writer.js';

/** A terminal that takes so many bytes, then none until it is given room. */
function terminal(room: number) {
  const state = { room, text: '', gone: false };
  const writer = new PatientWriter((bytes) => {
    if (state.gone) throw new Error('EIO');
    const count = Math.min(state.room, bytes.length);
    state.text += Buffer.from(bytes.subarray(0, count)).toString('latin1');
    state.room -= count;
    return count;
  });
  return { state, writer };
}

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('PatientWriter', () => {
  it('writes at once what the terminal takes, and says so', () => {
    const { state, writer } = terminal(10);
    expect(writer.write('♩ four')).toBe(true);
    expect(Buffer.from(state.text, 'latin1').toString('utf8')).toBe('♩ four');
    expect(writer.isFull).toBe(false);
  });

  it('keeps the rest in order, and tells when it has been taken', () => {
    const { state, writer } = terminal(3);
    let drained = 0;
    writer.on('drain', () => {
      drained += 1;
    });
    expect(writer.write('abcd')).toBe(false);
    expect(writer.write('ef')).toBe(false);
    vi.advanceTimersByTime(1000);
    expect([state.text, drained]).toEqual(['abc', 0]);
    state.room = 100;
    vi.advanceTimersByTime(100);
    expect([state.text, drained]).toEqual(['abcdef', 1]);
  });

  it('waits for a terminal only as long as it is told to', async () => {
    const { state, writer } = terminal(0);
    writer.write('abc');
    const given = writer.taken(400);
    await vi.advanceTimersByTimeAsync(401);
    expect(await given).toBe(false);
    const later = writer.taken(400);
    state.room = 3;
    await vi.advanceTimersByTimeAsync(100);
    expect(await later).toBe(true);
  });

  it('forgets what was not taken when it is told to', () => {
    const { state, writer } = terminal(0);
    writer.write('a frame');
    writer.drop();
    state.room = 100;
    writer.write('the end');
    vi.advanceTimersByTime(100);
    expect(state.text).toBe('the end');
  });

  it('keeps a bounded heap of text for a terminal that never reads', () => {
    const { state, writer } = terminal(0);
    for (let count = 0; count < 1000; count += 1) writer.write('x'.repeat(1000));
    state.room = Number.POSITIVE_INFINITY;
    vi.advanceTimersByTime(100);
    expect(state.text.length).toBeGreaterThan(250_000);
    expect(state.text.length).toBeLessThan(270_000);
  });

  it('tells once that the terminal has gone, and waits for it no more', async () => {
    const { state, writer } = terminal(0);
    let gone = 0;
    writer.on('gone', () => {
      gone += 1;
    });
    writer.write('abc');
    const given = writer.taken(10_000);
    state.gone = true;
    await vi.advanceTimersByTimeAsync(100);
    writer.write('more');
    expect([await given, gone]).toEqual([false, 1]);
  });
});
