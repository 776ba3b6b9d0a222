import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lateLimit } from '../../src/player/lane.js';
import { begin } from '../../src/time/conductor.js';
import type { Segment } from '../../src/time/segment.js';
import { goOn, take } from '../time/takes.js';
import { between, type Due, differences, Rig, timeline } from './music.js';

const stallMs = 5000;

/** A take that is stopped for five seconds at a moment, and what was due. */
function stalled(
  segments: readonly Segment[],
  ms: number,
): { rig: Rig; due: Due[]; from: number; to: number } {
  const rig = new Rig();
  rig.play(segments);
  const first = rig.spans[0]?.time as number;
  rig.host.advance(first + ms);
  const from = rig.host.now();
  rig.host.stall(stallMs);
  const to = rig.host.now();
  rig.host.advance(to + 4000);
  return { rig, due: timeline(segments, first, 200_000), from, to };
}

const segments = (written: string): readonly Segment[] =>
  goOn(begin(take(written, { passes: null }), 0, 0), 0).segments;

describe('a stall of five seconds', () => {
  it('sends the overdue note-offs first', () => {
    // The chord rings from the start of bar 2, two seconds in; the stall begins in the middle of it.
    const { rig, to } = stalled(segments('1~ 4'), 2700);
    const after = rig.output.sent.filter(({ sentAt }) => sentAt >= to);
    // Four courses and the bass.
    expect(after.slice(0, 5).map(({ status }) => status)).toStrictEqual([0x82, 0x81, 0x81, 0x81, 0x81]);
    expect(after.slice(0, 5).map(({ sentAt }) => sentAt)).toStrictEqual([to, to, to, to, to]);
  });

  it('never repays what was missed, counts it, and is on time from then on', () => {
    const written = fc.constantFrom('1 4', "'1 (4 5) 1", '1~ 4!', '1 @tempo=70 4 5');
    fc.assert(
      fc.property(written, between(0, 12_000), (bars, ms) => {
        const { rig, due, from, to } = stalled(segments(bars), ms);
        const limit = to + 3500;
        const missed = due.filter(({ time }) => time > from && time < to - lateLimit);
        const heard = due.filter((one) => one.time < limit && !missed.includes(one));
        expect(
          differences(
            rig.output.ons.filter(({ time }) => time < limit),
            heard,
          ),
        ).toStrictEqual([]);
        const { missed: counted, max } = rig.loop.lateness.report();
        expect(counted).toBe(missed.length);
        expect(max).toBeLessThanOrEqual(lateLimit);
        // What falls into the first millisecond is left to the test of two notes close together.
        const onTime = rig.output.ons.filter(({ time }) => time > to + 1 && time < limit);
        expect(onTime.length).toBeGreaterThan(0);
        for (const { time, sentAt } of onTime) expect(Math.abs(sentAt - time)).toBeLessThan(1e-6);
        rig.loop.pause();
        expect(rig.output.hanging()).toStrictEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it('sends no more than what fell into the last moments at once', () => {
    const { rig, due, to } = stalled(segments('1 4 5 1'), 1234);
    const burst = rig.output.ons.filter(({ sentAt }) => sentAt === to);
    const fresh = due.filter(({ time }) => time >= to - lateLimit && time <= to);
    expect(burst).toHaveLength(fresh.length);
  });

  it('stops when the end went by meanwhile, with nothing left sounding', () => {
    const { rig } = stalled(begin(take('1~', {}), 0, 0).segments, 2500);
    expect(rig.states).toStrictEqual(['running', 'stopped']);
    expect(rig.output.hanging()).toStrictEqual([]);
  });

  it('comes back in the segment that plays by then', () => {
    const { rig } = stalled(goOn(begin(take('1', { passes: 9 }), 0, 0), 9 * 3840).segments, 1500);
    expect(rig.said('segment').map(({ tick }) => tick)).toStrictEqual(
      [0, 1, 2, 3, 4, 5].map((one) => one * 3840),
    );
    expect(rig.spans.length).toBeGreaterThan(0);
  });
});
