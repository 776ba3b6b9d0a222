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
    expect(beatsShown({ ms: 40 })).toEqual([
      { time: 1000, beat: null },
      { time: 1031, beat: 0 },
    ]);
  });

  it('shows a beat so much sooner as drawing takes, and does not take it back', () => {
    // The player says what it plays also between the look at a beat and the beat.
    expect(beatsShown({ ms: 1040, drawMs: 4, saysAgain: (time) => time % 50 === 28 })).toEqual([
      { time: 1000, beat: null },
      { time: 1027, beat: 0 },
      { time: 2027, beat: 1 },
    ]);
  });
});

/** Which beats are shown from when on, for so long after the music was asked for at 1000 ms: its first beat is 30 ms later, a beat is a second. */
function beatsShown({
  ms,
  drawMs = 0,
  saysAgain = () => false,
}: {
  readonly ms: number;
  readonly drawMs?: number;
  readonly saysAgain?: (time: number) => boolean;
}): readonly { readonly time: number; readonly beat: number | null }[] {
  let time = 1000;
  const ready = having(standing('weir-hands'), { kind: 'action', action: 'play', at: time }).model;
  const runtime = new Runtime(
    ready,
    () => {},
    () => time,
    undefined,
    drawMs,
  );
  const says = (): void => {
    const spans = [{ tick: 0, time: 1030, msPerTick: 1000 / 960 }];
    runtime.dispatch({ kind: 'player', at: time, message: { kind: 'spans', spans } });
  };
  runtime.dispatch({ kind: 'player', at: time, message: { kind: 'state', state: 'running', tick: 0 } });
  says();
  const beats: { time: number; beat: number | null }[] = [];
  for (let step = 0; step < ms; step += 1) {
    const beat = onStand(runtime.model())?.cursor.beat ?? null;
    if (beats.length === 0 || beat !== beats.at(-1)?.beat) beats.push({ time, beat });
    if (saysAgain(time)) says();
    time += 1;
    vi.advanceTimersByTime(1);
  }
  runtime.stop();
  return beats;
}
