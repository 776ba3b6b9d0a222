import { afterEach, describe, expect, it, vi } from 'vitest';
import { hrtimeMs, machineHost } from '../../src/player/host.js';

afterEach(() => {
  vi.useRealTimers();
});

describe('machineHost', () => {
  it('has a time that never goes back', () => {
    const host = machineHost();
    const read = Array.from({ length: 2000 }, () => host.now());
    expect(read).toStrictEqual([...read].sort((one, other) => one - other));
  });

  it('waits no shorter than it is told to', () => {
    const host = machineHost();
    for (const ms of [-5, 0, 0.05, 0.3, 1.2]) {
      const until = host.now() + ms;
      host.waitUntil(until);
      expect(host.now()).toBeGreaterThanOrEqual(until);
    }
  });

  it('calls back after whole milliseconds, rather early than late', () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const called: number[] = [];
    const host = machineHost();
    host.setTimer(() => called.push(7), 7.9);
    host.setTimer(() => called.push(0), -3);
    vi.advanceTimersByTime(1);
    expect(called).toStrictEqual([0]);
    vi.advanceTimersByTime(6);
    expect(called).toStrictEqual([0, 7]);
  });

  it('does not call back a timer that was cleared', () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const host = machineHost();
    const called = vi.fn();
    host.clearTimer(host.setTimer(called, 5));
    vi.advanceTimersByTime(50);
    expect(called).not.toHaveBeenCalled();
  });
});

describe('hrtimeMs', () => {
  it('is the monotonic clock of the machine in milliseconds', () => {
    const before = process.hrtime.bigint();
    const read = hrtimeMs();
    const after = process.hrtime.bigint();
    expect(read).toBeGreaterThanOrEqual(Number(before) / 1e6 - 1e-3);
    expect(read).toBeLessThanOrEqual(Number(after) / 1e6 + 1e-3);
  });
});
