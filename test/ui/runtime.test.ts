import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Runtime } from '../../src/ui/runtime.js';
import { having, onStand, running, standing } from './model.js';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('Runtime', () => {
  it('draws every beat, also one that begins while the look before it is taken in', () => {
    // A beat is a second. Every look at the clock takes 0.4 ms until the next time is set.
    let time = 0;
    const now = (): number => {
      time += 0.2;
      return time;
    };
    const runtime = new Runtime(running(standing('weir-hands')).model, () => {}, now);
    runtime.dispatch({ kind: 'clock', at: 0 });
    for (let second = 1; second <= 20; second += 1) {
      // A look a hair before the beat, as early timers have it; then 0.4 s in which the beat should have been seen.
      time = second * 1000 - 0.1;
      runtime.dispatch({ kind: 'clock', at: time });
      for (let step = 0; step < 20; step += 1) {
        time += 20;
        vi.advanceTimersByTime(20);
      }
      const { bar, beat, counting } = onStand(runtime.model())?.cursor ?? {};
      const expected =
        second < 4
          ? { bar: 0, beat: second, counting: true }
          : { bar: Math.floor(second / 4) - 1, beat: second % 4, counting: false };
      expect({ bar, beat, counting }).toEqual(expected);
    }
    runtime.stop();
  });

  it('shows the first beat when it begins, and not when its time becomes known', () => {
    let time = 1000;
    const ready = having(standing('weir-hands'), { kind: 'action', action: 'play', at: time }).model;
    const runtime = new Runtime(
      ready,
      () => {},
      () => time,
    );
    const spans = [{ tick: 0, time: 1030, msPerTick: 1000 / 960 }];
    runtime.dispatch({ kind: 'player', at: time, message: { kind: 'state', state: 'running', tick: 0 } });
    runtime.dispatch({ kind: 'player', at: time, message: { kind: 'spans', spans } });
    const beats: unknown[] = [];
    for (let step = 0; step < 40; step += 1) {
      const beat = onStand(runtime.model())?.cursor.beat ?? null;
      if (beat !== (beats.at(-1) as { beat: number | null } | undefined)?.beat) beats.push({ time, beat });
      time += 1;
      vi.advanceTimersByTime(1);
    }
    expect(beats).toEqual([
      { time: 1000, beat: null },
      { time: 1031, beat: 0 },
    ]);
    runtime.stop();
  });

  it('shows a beat so much sooner as drawing takes, and does not take it back', () => {
    let time = 1000;
    const ready = having(standing('weir-hands'), { kind: 'action', action: 'play', at: time }).model;
    const runtime = new Runtime(
      ready,
      () => {},
      () => time,
      undefined,
      4,
    );
    const spans = [{ tick: 0, time: 1030, msPerTick: 1000 / 960 }];
    runtime.dispatch({ kind: 'player', at: time, message: { kind: 'state', state: 'running', tick: 0 } });
    runtime.dispatch({ kind: 'player', at: time, message: { kind: 'spans', spans } });
    const beats: unknown[] = [];
    for (let step = 0; step < 1040; step += 1) {
      const beat = onStand(runtime.model())?.cursor.beat ?? null;
      if (beat !== (beats.at(-1) as { beat: number | null } | undefined)?.beat) beats.push({ time, beat });
      // The player says what it plays at any time, also between the look at a beat and the beat.
      if (time % 50 === 28)
        runtime.dispatch({ kind: 'player', at: time, message: { kind: 'spans', spans: [...spans] } });
      time += 1;
      vi.advanceTimersByTime(1);
    }
    expect(beats).toEqual([
      { time: 1000, beat: null },
      { time: 1027, beat: 0 },
      { time: 2027, beat: 1 },
    ]);
    runtime.stop();
  });
});
