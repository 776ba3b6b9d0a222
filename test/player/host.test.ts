import { afterEach, describe, expect, it, vi } from 'vitest';
import { aheadOf, hrtimeMs, machineHost } from '../../src/player/host.js';

afterEach(() => {
  vi.useRealTimers();
});

describe('machineHost', () => {
  it('has the time of all processes, though the system held it up while it was finding that out', () => {
    // The first time the clock is read, the processor is away for 22 ms right after that.
    let time = 5000;
    let held = false;
    const hrtime = vi.spyOn(process, 'hrtime').mockImplementation(() => {
      const read: [number, number] = [Math.floor(time / 1000), (time % 1000) * 1e6];
      if (!held) time += 22;
      held = true;
      return read;
    });
    const now = vi.spyOn(performance, 'now').mockImplementation(() => time - 1234);
    const host = machineHost();
    time += 100;
    expect(host.now()).toBeCloseTo(hrtimeMs(), 6);
    hrtime.mockRestore();
    now.mockRestore();
  });

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

describe('aheadOf', () => {
  it('takes the pair of readings that lie closest together, however often it was held up', () => {
    let time = 0;
    let readings = 0;
    const clock = (): number => {
      readings += 1;
      // Only one reading in five goes undisturbed.
      time += readings % 5 === 0 ? 0.004 : 3;
      return time + 700;
    };
    const ahead = aheadOf(clock, () => time);
    expect(Math.abs(ahead - 700)).toBeLessThan(0.005);
    expect(readings).toBe(5);
  });

  it('comes to an end where no two readings are close', () => {
    let time = 0;
    let readings = 0;
    const clock = (): number => {
      readings += 1;
      time += 2;
      return time + 700;
    };
    expect(aheadOf(clock, () => time)).toBeCloseTo(701, 6);
    expect(readings).toBeLessThan(1000);
  });
});
