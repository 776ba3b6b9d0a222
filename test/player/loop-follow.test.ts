import { describe, expect, it } from 'vitest';
import { ClockFollower } from '../../src/player/inputs/clock-follower.js';
import { beginAt } from '../../src/time/conductor.js';
import { goOn, take } from '../time/takes.js';
import { Rig } from './music.js';

/** Repeatable chance between −1 and 1. */
function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 31 - 1;
  };
}

/** A loop that follows, with the music of a take ready from a place of the song. */
function following(written: string, song = 0, passes: number | null = null) {
  const rig = new Rig();
  rig.loop.follow(new ClockFollower());
  const made = goOn(beginAt(take(written, { passes }), song, 0), 60_000);
  rig.loop.append(made.segments);
  rig.loop.arm(0, song);
  return { rig };
}

/** Sends pulses of so many ms each, jittered, from a time on; `first`: what is sent just before the first one. */
function pulses(
  rig: Rig,
  from: number,
  count: number,
  ms: number,
  jitter = 0,
  first: 'start' | 'continue' | null = null,
): void {
  const next = chance(7);
  for (let index = 0; index < count; index += 1) {
    const time = from + index * ms + next() * jitter;
    rig.host.advance(time);
    const now = rig.host.now();
    if (index === 0 && first) rig.loop.hear({ kind: first, time: now });
    rig.loop.hear({ kind: 'pulse', time: Math.min(time, now) });
  }
}

const clicks = (rig: Rig) => rig.output.ons.filter(({ status }) => status === 0x99);

describe('following an external clock', () => {
  it('waits for its start, then goes at its tempo from the first pulse on', () => {
    const { rig } = following('1 4 1 5');
    // 48 pulses of 25 ms: 100 quarters a minute, known before the start.
    pulses(rig, 6000, 48, 25);
    expect(rig.output.ons).toEqual([]);
    pulses(rig, 6000 + 48 * 25, 96, 25, 0, 'start');
    const begin = 6000 + 48 * 25;
    clicks(rig).forEach(({ sentAt }, index) => {
      expect(Math.abs(sentAt - (begin + index * 600))).toBeLessThan(1);
    });
    expect(clicks(rig)).toHaveLength(4);
    expect(rig.states).toEqual(['running']);
  });

  it('keeps every click within 2.5 ms of the true beat after two beats of ±5 ms jitter, within 1 ms after twelve', () => {
    const { rig } = following('1 4 1 5');
    const ms = 60_000 / 140 / 24;
    pulses(rig, 6000, 48, ms, 5);
    const begin = 6000 + 48 * ms;
    pulses(rig, begin, 24 * 64, ms, 5, 'start');
    const off = clicks(rig).map(({ sentAt }, index) => Math.abs(sentAt - (begin + index * 24 * ms)));
    expect(off.length).toBeGreaterThan(50);
    expect(Math.max(...off)).toBeLessThan(2.5);
    expect(Math.max(...off.slice(12))).toBeLessThan(1.2);
  });

  it('stops where the clock stops, ends what sounds, and says the place', () => {
    const { rig } = following('1 4 1 5');
    pulses(rig, 6000, 48, 25);
    pulses(rig, 7200, 60, 25, 0, 'start');
    rig.loop.hear({ kind: 'stop', time: rig.host.now() });
    expect(rig.output.hanging()).toEqual([]);
    expect(rig.states).toEqual(['running', 'paused']);
    // Sixty pulses of 40 ticks have come; the place is that of the next.
    expect(rig.said('place').at(-1)?.song).toBe(2400);
    const before = rig.output.sent.length;
    pulses(rig, rig.host.now() + 25, 48, 25);
    expect(rig.output.sent).toHaveLength(before);
  });

  it('asks for the place of a song position, and goes on from there with continue', () => {
    const { rig } = following('1 4 1 5');
    pulses(rig, 6000, 48, 25);
    // MIDI 1.0: sixteen units of six clocks are bar 2 of 4/4.
    rig.loop.hear({ kind: 'place', units: 16, time: rig.host.now() });
    expect(rig.said('place').at(-1)?.song).toBe(3840);
    const made = goOn(beginAt(take('1 4 1 5', { passes: null }), 3840, 100), 60_000);
    rig.loop.replace(100, made.segments);
    rig.loop.arm(100, 3840);
    const begin = rig.host.now() + 25;
    pulses(rig, begin, 24 * 4, 25, 0, 'continue');
    const bass = rig.output.ons.filter(({ status }) => status === 0x92);
    // Bar 2 is the 4: in G its root is C.
    expect((bass[0]?.note ?? 0) % 12).toBe(0);
    expect(Math.abs((bass[0]?.sentAt ?? 0) - begin)).toBeLessThan(1);
  });

  it('rides on at the last tempo when the clock is lost, says so, and is led again when it is back', () => {
    const { rig } = following('1 4 1 5');
    pulses(rig, 6000, 48, 25);
    pulses(rig, 7200, 120, 25, 0, 'start');
    const lost = rig.host.now();
    rig.host.advance(lost + 1500);
    expect(rig.said('following').map(({ state }) => state)).toContain('holdover');
    const while_ = clicks(rig).filter(({ sentAt }) => sentAt > lost + 50);
    expect(while_.length).toBeGreaterThanOrEqual(2);
    for (const { sentAt } of while_) {
      const beat = (sentAt - 7200) / 600;
      expect(Math.abs(beat - Math.round(beat)) * 600).toBeLessThan(3);
    }
    // It comes back where it would have been.
    const next = 7200 + Math.ceil((lost + 1500 - 7200) / 25) * 25;
    pulses(rig, next, 120, 25);
    expect(rig.said('following').at(-1)?.state).toBe('locked');
    const late = clicks(rig).at(-1)?.sentAt ?? 0;
    const beat = (late - 7200) / 600;
    expect(Math.abs(beat - Math.round(beat)) * 600).toBeLessThan(3);
  });

  it('follows a change of tempo without losing or doubling a click', () => {
    const { rig } = following('1 4 1 5');
    pulses(rig, 6000, 48, 25);
    pulses(rig, 7200, 24 * 8, 25, 0, 'start');
    const changed = 7200 + 24 * 8 * 25;
    pulses(rig, changed, 24 * 16, 20);
    expect(clicks(rig)).toHaveLength(24);
    const last = clicks(rig).slice(-10);
    last.forEach(({ sentAt }, index) => {
      expect(Math.abs(sentAt - (changed + (index + 6) * 480))).toBeLessThan(2);
    });
  });

  it('begins at a place that is armed only after the clock runs, without striking what is past', () => {
    const rig = new Rig();
    rig.loop.follow(new ClockFollower());
    pulses(rig, 6000, 48, 25);
    pulses(rig, 7200, 30, 25, 0, 'start');
    expect(rig.said('place').at(-1)?.song).toBe(0);
    const made = goOn(beginAt(take('1 4 1 5', { passes: null }), 0, 0), 60_000);
    rig.loop.append(made.segments);
    rig.loop.arm(0, 0);
    const armedAt = rig.host.now();
    pulses(rig, armedAt + 25, 24 * 4, 25);
    for (const { sentAt } of clicks(rig)) {
      const beat = (sentAt - 7200) / 600;
      expect(Math.abs(beat - Math.round(beat)) * 600).toBeLessThan(2);
    }
    expect(clicks(rig)[0]?.sentAt).toBeGreaterThan(armedAt);
  });
});
