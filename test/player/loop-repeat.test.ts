import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin } from '../../src/time/conductor.js';
import type { Segment } from '../../src/time/segment.js';
import { goOn, take } from '../time/takes.js';
import { between, differences, Rig, timeline } from './music.js';

const bar = 3840;

/** Plays a number of rounds of what repeats, then pauses at the start of the next. */
function playRounds(rig: Rig, segments: readonly Segment[], rounds: number): number {
  rig.play(segments);
  const first = rig.spans[0]?.time as number;
  const last = segments.at(-1) as Segment;
  const end = last.startTick + rounds * last.length;
  const due = timeline(segments, first, end + last.length);
  const edge = (due.find(({ tick }) => tick >= end)?.time as number) + 1e-3;
  rig.host.advance(edge + 50);
  const sent = rig.output.ons.filter(({ time }) => time < edge);
  rig.loop.pause();
  const counted = due.filter(({ time }) => time < edge);
  expect(differences(sent, counted)).toStrictEqual([]);
  return due.length;
}

describe('a segment that repeats', () => {
  it.each([
    ['one bar', '1', {}],
    ['two bars', '1 4', {}],
    ['a waltz', '1 5 1', { meter: '3/4' }],
    ['changes of tempo', '1 @tempo=93 4 @tempo=217 5', {}],
    ['a pass that ends in a chord left to ring', '1 4 1~', {}],
  ])('has no seam over 50 rounds: %s', (_, written, head) => {
    const made = take(written, { passes: null }, head);
    const rig = new Rig();
    expect(playRounds(rig, begin(made, 0, 0).segments, 50)).toBeGreaterThan(50 * 4);
    expect(rig.output.hanging()).toStrictEqual([]);
  });

  it.each([0, 120])(
    'has no seam over 50 rounds with an early chord at its start, sent %i ms ahead',
    (lead) => {
      const rig = new Rig(lead);
      const { segments } = begin(take("'1 4", { passes: null }), 0, 0);
      const due = timeline(segments, 0, 51 * 2 * bar);
      // The early chord of every round, the first one's within the count-in.
      const early = due.filter(({ tick, status }) => (tick + 480) % (2 * bar) === bar && status !== 0x99);
      expect(early.map(({ tick }) => tick)[0]).toBe(bar - 480);
      expect(early.length).toBeGreaterThanOrEqual(50);
      rig.play(segments);
      const first = rig.spans[0]?.time as number;
      rig.host.advance(first + (51 * 2 * bar * 500) / 960);
      rig.loop.pause();
      const counted = timeline(segments, first, 50 * 2 * bar);
      const limit = (counted.at(-1)?.time as number) + 1e-3;
      expect(
        differences(
          rig.output.ons.filter(({ time }) => time < limit),
          counted,
        ),
      ).toStrictEqual([]);
      expect(rig.output.hanging()).toStrictEqual([]);
    },
  );

  it('says each round as it begins', () => {
    const rig = new Rig();
    playRounds(rig, begin(take('1', { passes: null, countIn: 0 }), 0, 0).segments, 5);
    expect(rig.said('segment').map(({ id, tick }) => [id, tick])).toStrictEqual(
      [0, 1, 2, 3, 4, 5].map((round) => [1, round * bar]),
    );
  });

  it('begun within goes round from its first bar', () => {
    const rig = new Rig();
    const { segments } = begin(take('1 4 5', { passes: null, countIn: 0 }), 2, 0);
    playRounds(rig, segments, 4);
    expect(rig.said('segment').map(({ tick }) => tick)).toStrictEqual(
      [0, 1, 4, 7, 10, 13].map((bars) => bars * bar),
    );
  });

  it('is the same when timers fire a little late', () => {
    const lateness = fc.array(between(0, 0.9), { minLength: 1, maxLength: 10 });
    fc.assert(
      fc.property(lateness, fc.constantFrom("'1 4", '(1 5) 4 1', '1~ 4!'), (late, written) => {
        let turn = 0;
        const rig = Rig.withTimers(() => late[turn++ % late.length] as number);
        playRounds(rig, goOn(begin(take(written, { passes: null }), 0, 0), 0).segments, 6);
        for (const { time, sentAt } of rig.output.ons) expect(sentAt - time).toBeLessThan(1e-6);
      }),
      { numRuns: 30 },
    );
  });
});
