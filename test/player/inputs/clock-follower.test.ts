import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ClockFollower, type FollowState } from '../../../src/player/inputs/clock-follower.js';
import { pulsesPerUnit, ticksPerPulse } from '../../../src/player/inputs/song-position.js';
import { ticksPerQuarter } from '../../../src/time/units.js';

/** Numbers from 0 to below 1, the same for the same seed (a counter through a 32-bit mixer). */
function seeded(seed: number): () => number {
  let state = Math.imul(seed, 0x9e3779b1) >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Ms a pulse at a tempo: 24 pulses a quarter. */
const period = (quartersPerMinute: number): number => 60_000 / quartersPerMinute / 24;

/** True times of pulses, of which the first is sent at 1000 ms, by the tempo between each and the next. */
function sent(count: number, tempo: (pulse: number) => number): number[] {
  const times = [1000];
  while (times.length < count) times.push((times.at(-1) ?? 0) + period(tempo(times.length - 0.5)));
  return times;
}

/** How far off the follower was, once: `pulse` is the true position then, in pulses. */
interface Measured {
  readonly pulse: number;
  readonly ms: number;
  readonly state: FollowState;
}

interface Play {
  readonly times: readonly number[];
  readonly seed: number;
  /** Each pulse arrives by up to so many ms too early or too late. */
  readonly jitter?: number;
  readonly edit?: (arrivals: readonly number[]) => number[];
  /** Also ask at these times, when nothing arrives. */
  readonly ask?: readonly number[];
}

/**
 * Sends a song from its start through jitter, and measures the follower halfway from one arrival to the next, just
 * before the next, which is as far as it must look ahead, and just after it, against the true position.
 */
function play({ times, seed, jitter = 5, edit = (arrivals) => [...arrivals], ask = [] }: Play): Measured[] {
  const random = seeded(seed);
  const arrivals = edit(times.map((time) => time + (2 * random() - 1) * jitter));
  const follower = new ClockFollower();
  follower.start((times[0] ?? 0) - 20);
  const measured: Measured[] = [];
  let place = 0;
  const measure = (time: number): void => {
    while (place > 0 && (times[place] ?? 0) > time) place -= 1;
    while (place < times.length - 2 && (times[place + 1] ?? 0) <= time) place += 1;
    const start = times[place] ?? 0;
    const long = (times[place + 1] ?? 0) - start;
    const pulse = place + (time - start) / long;
    const { tick, state } = follower.now(time);
    measured.push({ pulse, ms: (tick / ticksPerPulse - pulse) * long, state });
  };
  const asked = [...ask];
  let last = Number.NaN;
  for (const arrival of arrivals) {
    // What comes over one cable does not overtake.
    const at = Math.max(arrival, Number.isNaN(last) ? arrival : last);
    while ((asked[0] ?? at) < at) measure(asked.shift() ?? at);
    if (at > last) {
      measure((last + at) / 2);
      measure(at);
    }
    follower.pulse(at);
    measure(at);
    last = at;
  }
  return measured;
}

/** So far off, or less, was all but the hundredth part of what was measured from one true position to another. */
function p99(measured: readonly Measured[], from: number, to = Number.POSITIVE_INFINITY): number {
  const off = measured.filter(({ pulse }) => pulse >= from && pulse < to).map(({ ms }) => Math.abs(ms));
  expect(off.length).toBeGreaterThan(100);
  return Float64Array.from(off).sort()[Math.floor(0.99 * off.length)] ?? Number.NaN;
}

const seeds = (count: number): number[] => Array.from({ length: count }, (_, index) => index + 1);

/** A follower that heard an exact clock for so many pulses from time 1000 on; started before, or not. */
function heard(count: number, started: boolean, tempo = 120): { follower: ClockFollower; next: number } {
  const follower = new ClockFollower();
  if (started) follower.start(990);
  for (let pulse = 0; pulse < count; pulse += 1) follower.pulse(1000 + pulse * period(tempo));
  return { follower, next: 1000 + count * period(tempo) };
}

// MIDI 1.0, System Real Time messages and Song Position Pointer.
describe('what the standard says', () => {
  it('takes 24 pulses for a quarter', () => {
    expect(ticksPerPulse * 24).toBe(ticksPerQuarter);
    const { follower } = heard(96, true);
    expect(follower.quartersPerMinute).toBeCloseTo(120, 5);
    // 60 s over 120 quarters and 24 pulses is 20.8333 ms.
    expect(follower.now(3000).msPerTick * ticksPerPulse).toBeCloseTo(20.8333, 4);
  });

  it.each([40, 72.5, 120, 199, 300])('tells a tempo of %d', (tempo) => {
    expect(heard(48, false, tempo).follower.quartersPerMinute).toBeCloseTo(tempo, 2);
  });

  it('is at 0 with the first pulse after a start, when the clock begins with it', () => {
    const { follower } = heard(1, true);
    expect(follower.now(1000).tick).toBe(0);
  });

  it('is at 0 with the next pulse after a start, when the clock was there before', () => {
    const { follower, next } = heard(100, false);
    follower.start(next - 3);
    expect(follower.now(next - period(120) / 2).tick).toBeCloseTo(-20, 3);
    expect(follower.now(next).tick).toBeCloseTo(0, 3);
    follower.pulse(next);
    expect(follower.now(next).tick).toBeCloseTo(0, 3);
    follower.pulse(next + period(120));
    expect(follower.now(next + period(120)).tick).toBeCloseTo(40, 3);
  });

  it('stays while it is stopped, and learns the tempo', () => {
    const { follower, next } = heard(100, false, 90);
    expect(follower.running).toBe(false);
    expect(follower.quartersPerMinute).toBeCloseTo(90, 3);
    expect(follower.now(next)).toMatchObject({ tick: 0, state: 'locked' });
  });

  it('goes on where it stopped: no pulse of the song is lost or heard twice', () => {
    const { follower, next } = heard(60, true);
    follower.stop(next - 10);
    expect(follower.running).toBe(false);
    // Pulses 0 to 59 were heard: the next is 60.
    expect(follower.now(next).tick).toBe(60 * 40);
    for (let pulse = 0; pulse < 7; pulse += 1) follower.pulse(next + pulse * period(120));
    const again = next + 7 * period(120);
    expect(follower.now(again).tick).toBe(60 * 40);
    follower.continueFrom(again - 5);
    expect(follower.running).toBe(true);
    follower.pulse(again);
    expect(follower.now(again).tick).toBeCloseTo(60 * 40, 3);
  });

  it('finds bar 2 in 4/4 at song position 16', () => {
    // The message is F2 10 00: the low seven bits come first. A unit is six clocks, a sixteenth: 16 of them a bar.
    const units = 0x10 | (0x00 << 7);
    expect(units * pulsesPerUnit * ticksPerPulse).toBe(3840);
    expect(3840).toBe(4 * ticksPerQuarter);
    const { follower, next } = heard(60, true);
    follower.stop(next - 10);
    follower.songPosition(units);
    expect(follower.now(next).tick).toBe(3840);
    follower.continueFrom(next - 5);
    follower.pulse(next);
    expect(follower.now(next).tick).toBeCloseTo(3840, 3);
  });

  it('starts from 0 whatever the song position, and heeds none while it runs or beyond 14 bits', () => {
    const { follower, next } = heard(60, true);
    follower.songPosition(16);
    expect(follower.now(next).tick).toBeCloseTo(2400, 3);
    follower.stop(next - 10);
    for (const units of [-1, 0x4000, Number.NaN]) follower.songPosition(units);
    expect(follower.now(next).tick).toBe(2400);
    follower.songPosition(0x3fff);
    expect(follower.now(next).tick).toBe(0x3fff * 240);
    follower.start(next - 5);
    follower.pulse(next);
    expect(follower.now(next).tick).toBeCloseTo(0, 3);
  });

  it('starts again while it runs, but does not go on twice', () => {
    const { follower, next } = heard(60, true);
    follower.continueFrom(next - 5);
    follower.pulse(next);
    expect(follower.now(next).tick).toBeCloseTo(2400, 3);
    follower.start(next + 1);
    follower.pulse(next + period(120));
    expect(follower.now(next + period(120)).tick).toBeCloseTo(0, 3);
  });
});

describe('how it stands', () => {
  it('waits, locks within a beat, holds over when the clock is gone', () => {
    const follower = new ClockFollower();
    expect(follower.now(500)).toMatchObject({ state: 'waiting', tick: 0 });
    expect(follower.quartersPerMinute).toBeNull();
    follower.start(990);
    expect(follower.now(995).state).toBe('waiting');
    const states: FollowState[] = [];
    for (let pulse = 0; pulse < 30; pulse += 1) {
      follower.pulse(1000 + pulse * period(120));
      states.push(follower.now(1000 + pulse * period(120)).state);
    }
    expect(states).toStrictEqual([...Array(23).fill('acquiring'), ...Array(7).fill('locked')]);
  });

  // 8 pulses' worth, but no less than 250 ms.
  it.each([
    [120, 250],
    [40, 500],
    [300, 250],
  ])('at %d takes the clock for lost after %d ms', (tempo, limit) => {
    const { follower, next } = heard(100, true, tempo);
    const last = next - period(tempo);
    expect(follower.now(last + limit - 1).state).toBe('locked');
    const { state, tick, msPerTick } = follower.now(last + limit + 1);
    expect(state).toBe('holdover');
    expect(tick).toBeCloseTo((99 + (limit + 1) / period(tempo)) * 40, 2);
    expect(msPerTick * ticksPerPulse).toBeCloseTo(period(tempo), 4);
  });

  it('waits when the clock is gone while it is stopped, and starts when it comes again', () => {
    const { follower, next } = heard(100, true);
    follower.stop(next - 10);
    expect(follower.now(next + 5000)).toMatchObject({ state: 'waiting', tick: 4000 });
    follower.start(next + 5000);
    expect(follower.now(next + 5500)).toMatchObject({ state: 'waiting', tick: 0 });
    for (let pulse = 0; pulse < 30; pulse += 1) follower.pulse(next + 6000 + pulse * period(100));
    const { state, tick } = follower.now(next + 6000 + 30 * period(100));
    expect(state).toBe('locked');
    expect(tick).toBeCloseTo(30 * 40, 0);
    expect(follower.quartersPerMinute).toBeCloseTo(100, 0);
  });

  it('keeps the place it rode to when it is stopped there', () => {
    const { follower, next } = heard(100, true);
    follower.stop(next - period(120) + 1000);
    // Pulse 99 was the last that was heard; 48 more would have come in a second at 120.
    expect([147, 148].map((pulse) => pulse * 40)).toContain(follower.now(next + 2000).tick);
  });
});

describe('through jitter of 5 ms', () => {
  it('is needed: the pulses as they come are nearly 5 ms off', () => {
    const random = seeded(1);
    const off = seeds(2000).map((pulse) => ({ pulse, ms: (2 * random() - 1) * 5, state: 'locked' as const }));
    expect(p99(off, 0)).toBeGreaterThan(4.8);
  });

  it.each([40, 60, 90, 120, 160, 200, 240, 300])('at %d keeps to the position', (tempo) => {
    const measured = seeds(30).flatMap((seed) => play({ times: sent(700, () => tempo), seed: seed + tempo }));
    expect(p99(measured, 48, 96)).toBeLessThan(2.5);
    expect(p99(measured, 48)).toBeLessThan(2.5);
    expect(p99(measured, 288, 336)).toBeLessThan(1.1);
    expect(p99(measured, 288)).toBeLessThan(1);
  });

  it('does so from the very pulses on that it is said to, over all tempos', () => {
    const measured = [40, 75, 120, 180, 300].flatMap((tempo) =>
      seeds(80).flatMap((seed) => play({ times: sent(292, () => tempo), seed: 1000 * seed + tempo })),
    );
    expect(p99(measured, 48, 50)).toBeLessThan(2.5);
    expect(p99(measured, 288)).toBeLessThan(1);
  });

  it('goes back by no more than it corrects', () => {
    for (const seed of seeds(20)) {
      let last = Number.NEGATIVE_INFINITY;
      for (const { pulse, ms } of play({ times: sent(500, () => 120), seed })) {
        const at = pulse * period(120) + ms;
        if (pulse >= 48) expect(at).toBeGreaterThan(last - 2);
        last = at;
      }
    }
  });

  it('does better with less of it', () => {
    const measured = seeds(20).flatMap((seed) => play({ times: sent(400, () => 120), seed, jitter: 0.5 }));
    expect(p99(measured, 48)).toBeLessThan(0.25);
  });

  it('finds the way again when the jitter grows at once', () => {
    const measured = seeds(10).flatMap((seed) => {
      const random = seeded(seed + 99);
      const edit = (arrivals: readonly number[]): number[] =>
        arrivals.map((time, pulse) => (pulse < 300 ? time : time + (2 * random() - 1) * 5));
      return play({ times: sent(1500, () => 120), seed, jitter: 0.2, edit });
    });
    expect(p99(measured, 300)).toBeLessThan(period(120) / 2);
    expect(p99(measured, 500)).toBeLessThan(2.5);
    expect(p99(measured, 1200)).toBeLessThan(1.2);
  });
});

describe('a tempo that changes', () => {
  it.each([
    [120, 140],
    [140, 120],
    [120, 124],
    [120, 60],
    [60, 120],
    [200, 180],
    [100, 130],
    [240, 300],
  ])('from %d to %d at once', (before, after) => {
    const measured = seeds(30).flatMap((seed) =>
      play({ times: sent(760, (pulse) => (pulse < 400 ? before : after)), seed: seed + before }),
    );
    expect(p99(measured, 300, 400)).toBeLessThan(1);
    // A beat to be sure of it and about right, three to be exact.
    expect(p99(measured, 424, 448)).toBeLessThan(5);
    expect(p99(measured, 472)).toBeLessThan(2.5);
    expect(p99(measured, 700)).toBeLessThan(1);
  });

  it('is noticed within a third of a beat when there is little jitter', () => {
    const times = sent(600, (pulse) => (pulse < 400 ? 120 : 140));
    const measured = seeds(20).flatMap((seed) => play({ times, seed, jitter: 0.5 }));
    expect(p99(measured, 408)).toBeLessThan(1.5);
    expect(p99(measured, 424)).toBeLessThan(0.5);
  });

  it.each([
    [120, 160, 16],
    [160, 120, 16],
    [120, 130, 16],
  ])('from %d to %d over %d beats', (before, after, beats) => {
    const end = 400 + beats * 24;
    const tempo = (pulse: number): number =>
      before + (after - before) * Math.min(Math.max((pulse - 400) / (end - 400), 0), 1);
    const measured = seeds(20).flatMap((seed) => play({ times: sent(end + 400, tempo), seed }));
    // A line lags behind a curve: 7 ms while it bends.
    expect(p99(measured, 400, end)).toBeLessThan(7);
    expect(p99(measured, end + 72)).toBeLessThan(2.5);
    expect(p99(measured, end + 350)).toBeLessThan(1.2);
  });

  it('to less than a third, which could be anything at first', () => {
    const times = sent(700, (pulse) => (pulse < 300 ? 240 : 60));
    const measured = seeds(10).flatMap((seed) => play({ times, seed }));
    expect(p99(measured, 600)).toBeLessThan(1.5);
  });
});

describe('pulses that go wrong', () => {
  const lost =
    (...gone: number[]) =>
    (arrivals: readonly number[]): number[] =>
      arrivals.filter((_, pulse) => !gone.includes(pulse));
  const doubled = (arrivals: readonly number[]): number[] =>
    arrivals.flatMap((time, pulse) => (pulse === 300 ? [time, time + 1] : [time]));
  const stalled =
    (ms: number) =>
    (arrivals: readonly number[]): number[] => {
      const from = arrivals[300] ?? 0;
      return arrivals.map((time) => (time >= from && time < from + ms ? from + ms : time));
    };
  const silent =
    (ms: number) =>
    (arrivals: readonly number[]): number[] => {
      const from = arrivals[300] ?? 0;
      return arrivals.filter((time) => time < from || time >= from + ms);
    };

  it.each([
    ['one is lost', lost(300), [60, 120, 180, 220]],
    ['two are lost', lost(300, 301), [60, 120, 180, 240]],
    ['two are lost one after the other', lost(300, 340), [60, 120, 180]],
    ['one comes twice', doubled, [60, 120, 180, 220]],
    ['a stall of 30 ms ends in a burst', stalled(30), [60, 120, 180, 300]],
    ['a stall of 100 ms ends in a burst', stalled(100), [60, 120, 180, 300]],
    ['a stall of 400 ms ends in a burst', stalled(400), [60, 120, 180]],
    ['a stall of 2 s ends in a burst', stalled(2000), [60, 120, 180, 240]],
  ] as const)('stay in their places when %s', (_, edit, tempos) => {
    for (const tempo of tempos) {
      const measured = seeds(12).flatMap((seed) =>
        play({ times: sent(500, () => tempo), seed: seed + tempo, edit }),
      );
      expect(p99(measured, 300)).toBeLessThan(1.5);
    }
  });

  it.each([
    [60, 500],
    [120, 500],
    [120, 2000],
    [200, 2000],
    [300, 2000],
    [120, 6000],
  ])('at %d find their places again after %d ms of silence', (tempo, ms) => {
    const times = sent(300 + Math.ceil(ms / period(tempo)) + 300, () => tempo);
    const mute = 1000 + 300 * period(tempo) + 10;
    const all = seeds(12).map((seed) =>
      play({ times, seed: seed + tempo, edit: silent(ms), ask: [mute + 200, mute + ms - 30] }),
    );
    const end = 300 + ms / period(tempo);
    for (const measured of all) {
      const heldOver = measured.filter(({ state }) => state === 'holdover');
      expect(heldOver.length).toBeGreaterThan(0);
      for (const { pulse } of heldOver) {
        expect(pulse).toBeGreaterThan(300);
        expect(pulse).toBeLessThan(end + 2);
      }
      expect(measured.at(-1)?.state).toBe('locked');
    }
    expect(p99(all.flat(), 300)).toBeLessThan(2.5);
    expect(p99(all.flat(), end + 48)).toBeLessThan(1.5);
  });

  it('are taken up where they are, if another tempo comes after the silence', () => {
    for (const [tempo, after] of [
      [120, 121],
      [120, 100],
      [120, 240],
      [120, 40],
      [60, 300],
    ] as const) {
      for (const seed of seeds(6)) {
        const random = seeded(seed);
        const { follower, next } = heard(300, true, tempo);
        const again = next + 60_000;
        const time = (pulse: number): number => again + pulse * period(after);
        for (let pulse = 0; pulse < 500; pulse += 1) follower.pulse(time(pulse) + (2 * random() - 1) * 5);
        const { state, tick, msPerTick } = follower.now(time(500));
        expect(state).toBe('locked');
        expect(Math.abs((msPerTick * ticksPerPulse) / period(after) - 1)).toBeLessThan(0.002);
        // A whole pulse falls where one was sent, and no count of those before the silence can tell which.
        expect(
          Math.abs(tick / ticksPerPulse - Math.round(tick / ticksPerPulse)) * period(after),
        ).toBeLessThan(1.5);
        const counted = 300 + 60_000 / period(tempo) + 500;
        expect(Math.abs(tick / ticksPerPulse - counted)).toBeLessThan(3);
      }
    }
  });

  it('stay in their places when one is lost around the start of the song', () => {
    for (const seed of seeds(10)) {
      const random = seeded(seed);
      const follower = new ClockFollower();
      for (let pulse = 0; pulse < 400; pulse += 1) {
        // Pulse 198 is lost; the song starts with pulse 200.
        if (pulse === 200) follower.start(1000 + 199.5 * period(120));
        if (pulse !== 198) follower.pulse(1000 + pulse * period(120) + (2 * random() - 1) * 3);
      }
      expect(follower.now(1000 + 400 * period(120)).tick / ticksPerPulse).toBeCloseTo(200, 0);
    }
  });

  it('stay in their places when one is lost just before the song goes on', () => {
    const { follower, next } = heard(200, true);
    const time = (pulse: number): number => next + pulse * period(120);
    follower.stop(next - 10);
    for (let pulse = 0; pulse < 400; pulse += 1) {
      if (pulse === 200) follower.continueFrom(time(199.5));
      if (pulse !== 198) follower.pulse(time(pulse));
    }
    // It goes on with pulse 200 of the song, and 200 more have come.
    expect(follower.now(time(400)).tick / ticksPerPulse).toBeCloseTo(400, 3);
  });

  it('stay in their places when one is lost just before the stop', () => {
    const follower = new ClockFollower();
    follower.start(990);
    const time = (pulse: number): number => 1000 + pulse * period(120);
    for (let pulse = 0; pulse < 200; pulse += 1) if (pulse !== 197) follower.pulse(time(pulse));
    follower.stop(time(199.5));
    for (let pulse = 200; pulse < 220; pulse += 1) follower.pulse(time(pulse));
    expect(follower.now(time(220)).tick).toBe(200 * 40);
  });
});

describe('in the long run', () => {
  it('is exact after two hours of a tempo that drifts by 50 ppm', () => {
    const random = seeded(7);
    const count = 2 * 3600 * 48;
    // From 50 ppm slow to 50 ppm fast and back every ten minutes, and 50 ppm more by the end.
    const time = (pulse: number): number => {
      const minutes = (pulse * period(120)) / 60_000;
      const swing = ((50e-6 * 600_000) / (2 * Math.PI)) * Math.sin((2 * Math.PI * minutes) / 10);
      return 1000 + pulse * period(120) * (1 + (25e-6 * pulse) / count) + swing;
    };
    const follower = new ClockFollower();
    follower.start(990);
    const measured: Measured[] = [];
    for (let pulse = 0; pulse < count; pulse += 1) {
      follower.pulse(time(pulse) + (2 * random() - 1) * 5);
      if (pulse < count - 20_000) continue;
      const { tick, state } = follower.now(time(pulse + 0.5));
      measured.push({ pulse, ms: (tick / ticksPerPulse - pulse - 0.5) * period(120), state });
    }
    expect(p99(measured, 0)).toBeLessThan(1);
    expect(measured.every(({ state }) => state === 'locked')).toBe(true);
  });

  it('does not mind how long the machine has been running', () => {
    const times = sent(400, () => 120).map((time) => time + 1e11);
    expect(
      p99(
        seeds(10).flatMap((seed) => play({ times, seed })),
        288,
      ),
    ).toBeLessThan(1);
  });
});

describe('whatever comes', () => {
  const step = fc.oneof(
    {
      weight: 6,
      arbitrary: fc.record({ call: fc.constant('pulse'), after: fc.constantFrom(0, 1, 8, 20, 21, 300) }),
    },
    {
      weight: 6,
      arbitrary: fc.record({ call: fc.constant('beat'), after: fc.constantFrom(0, 3, 10.4, 20.8, 62.5) }),
    },
    {
      weight: 4,
      arbitrary: fc.record({
        call: fc.constantFrom('start', 'continue', 'stop', 'place', 'now'),
        after: fc.constantFrom(0, 5, 100, 5000),
      }),
    },
    {
      weight: 1,
      arbitrary: fc.record({ call: fc.constantFrom('pulse', 'start', 'stop', 'now'), after: fc.double() }),
    },
  );

  type Step = { readonly call: string; readonly after: number };

  /** Does all the steps, and calls back after each; answers the latest time. */
  function walk(
    follower: ClockFollower,
    steps: readonly Step[],
    units: number,
    check: (at: number, time: number) => void,
  ): number {
    let time = 0;
    for (const { call, after } of steps) {
      const at = time + after;
      if (Math.abs(at) < 1e12) time = Math.max(time, at);
      if (call === 'pulse') follower.pulse(at);
      else if (call === 'start') follower.start(at);
      else if (call === 'continue') follower.continueFrom(at);
      else if (call === 'stop') follower.stop(at);
      else if (call === 'place') follower.songPosition(units);
      for (let pulse = 0; call === 'beat' && pulse < 30; pulse += 1) {
        time += after;
        follower.pulse(time);
      }
      check(at, time);
    }
    return time;
  }

  it('answers with finite numbers', () => {
    fc.assert(
      fc.property(fc.array(step, { maxLength: 60 }), fc.integer({ min: -2, max: 20_000 }), (steps, units) => {
        const follower = new ClockFollower();
        walk(follower, steps, units, (at, time) => {
          for (const asked of [at, time, time + 1e6, Number.NaN, Number.POSITIVE_INFINITY]) {
            const followed = follower.now(asked);
            expect([followed.tick, followed.time, followed.msPerTick].every(Number.isFinite)).toBe(true);
            expect(followed.msPerTick).toBeGreaterThan(0);
          }
          const tempo = follower.quartersPerMinute;
          expect(tempo === null || (tempo > 0 && tempo < 1e5)).toBe(true);
        });
      }),
      { numRuns: 150, seed: 20 },
    );
  });

  it('follows again afterwards', () => {
    const usual = step.filter(({ after }) => Math.abs(after) < 1e12);
    fc.assert(
      fc.property(fc.array(usual, { maxLength: 30 }), (steps) => {
        const follower = new ClockFollower();
        const last = walk(follower, steps, 16, () => {});
        const time = (pulse: number): number => last + pulse * period(120);
        follower.stop(last);
        for (let pulse = 1; pulse <= 600; pulse += 1) follower.pulse(time(pulse));
        follower.start(time(600.5));
        for (let pulse = 601; pulse <= 650; pulse += 1) follower.pulse(time(pulse));
        const { state, tick } = follower.now(time(651));
        expect(state).toBe('locked');
        expect(tick / ticksPerPulse).toBeCloseTo(50, 1);
        expect(follower.quartersPerMinute).toBeCloseTo(120, 1);
      }),
      { numRuns: 150, seed: 21 },
    );
  });
});
