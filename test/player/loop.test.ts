import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { midiNote } from '../../src/theory/pitch.js';
import { begin } from '../../src/time/conductor.js';
import { packEvents } from '../../src/time/event.js';
import { type Segment, timeAt } from '../../src/time/segment.js';
import { anyTake, goOn, take } from '../time/takes.js';
import { differences, Rig, timeline } from './music.js';
import { segment } from './segments.js';

const until = 60_000;
/** All segments of a take up to tick 60 000 and what lies a little beyond. */
const segmentsOf = (...of: Parameters<typeof take>): readonly Segment[] =>
  goOn(begin(take(...of), 0, 0), until).segments;

/** Plays until everything before a tick has been sent. */
function playTo(rig: Rig, segments: readonly Segment[], tick: number): void {
  rig.play(segments);
  rig.host.advance(timeAt(rig.spans, segments[0]?.startTick ?? 0));
  while (timeAt(rig.spans, tick) > rig.host.now() && rig.states.at(-1) === 'running')
    rig.host.advance(rig.host.now() + 500);
}

describe('Loop', () => {
  it('sends every note-on exactly when the timeline says, the output’s lead earlier', () => {
    fc.assert(
      fc.property(anyTake, fc.constantFrom(0, 20, 150), (made, lead) => {
        const { segments } = goOn(begin(made, made.range?.from ?? 0, 0), until);
        const rig = new Rig(lead);
        playTo(rig, segments, until);
        const first = rig.said('spans')[0]?.spans[0]?.time as number;
        const due = timeline(segments, first, until);
        const end = due.at(-1)?.time as number;
        const ons = rig.output.ons.filter(({ time }) => time < end + 1e-3);
        expect(differences(ons, due)).toStrictEqual([]);
        for (const { time, sentAt } of ons) expect(Math.abs(time - lead - sentAt)).toBeLessThan(1e-6);
      }),
      { numRuns: 60 },
    );
  });

  it('sends note-offs at their time too, and leaves nothing sounding at the end', () => {
    const rig = new Rig();
    const segments = segmentsOf('1 (1 4) 5~ 4!');
    playTo(rig, segments, until);
    const first = rig.said('spans')[0]?.spans[0]?.time as number;
    const ends = timeline(segments, first).map((one) => ({
      ...one,
      status: one.status - 0x10,
      time: one.end,
    }));
    expect(differences(rig.output.offs, ends)).toStrictEqual([]);
    expect(rig.output.hanging()).toStrictEqual([]);
  });

  it('sends note-offs first within an instant, then the click, and marks the end of each instant', () => {
    const rig = new Rig();
    playTo(rig, segmentsOf('1 4 5 1'), until);
    rig.output.sent.forEach((one, index) => {
      const before = rig.output.sent[index - 1];
      if (!before || before.time !== one.time) return;
      const rank = (of: typeof one): number => (of.status < 0x90 ? 0 : of.status === 0x99 ? 1 : 2);
      expect(rank(one)).toBeGreaterThanOrEqual(rank(before));
    });
    expect(rig.output.unflushed).toBe(0);
  });

  it('lets the announced spans tell the tick of everything that is sent, when it is sent', () => {
    const rig = new Rig(100);
    const segments = segmentsOf('1 @tempo=90 4 @tempo=200 (1 5) 1');
    playTo(rig, segments, until);
    const due = timeline(segments, 0).map(({ tick }) => tick);
    const seen = rig.ticks.filter((_, index) => (rig.output.sent[index]?.status ?? 0) >= 0x90);
    expect(seen).toHaveLength(due.length);
    for (const [index, tick] of due.entries()) expect(seen[index]).toBeCloseTo(tick, 6);
  });

  it('says that it runs, which segment, and that it stopped at the last tick', () => {
    const rig = new Rig();
    playTo(rig, segmentsOf('1 4', { passes: 2 }), until);
    expect(rig.states).toStrictEqual(['running', 'stopped']);
    expect(rig.said('state').map((one) => one.tick)).toStrictEqual([0, 5 * 3840]);
    expect(rig.said('segment').map(({ id, tick }) => [id, tick])).toStrictEqual([
      [1, 0],
      [2, 3840],
      [3, 3 * 3840],
    ]);
    expect(rig.said('trouble')).toStrictEqual([]);
  });

  it('says so when the music runs out before its end', () => {
    const rig = new Rig();
    playTo(rig, segmentsOf('1 4').slice(0, 1), until);
    expect(rig.states).toStrictEqual(['running', 'stopped']);
    expect(rig.said('trouble')[0]?.message).toContain('ran out');
    expect(rig.output.hanging()).toStrictEqual([]);
  });

  it('plays what is appended while it runs, without a seam', () => {
    const rig = new Rig();
    const segments = segmentsOf('1 4', { passes: 3 });
    playTo(rig, segments.slice(0, 2), 4000);
    rig.loop.append(segments.slice(2));
    rig.host.advance(rig.host.now() + 30_000);
    const first = rig.said('spans')[0]?.spans[0]?.time as number;
    expect(differences(rig.output.ons, timeline(segments, first))).toStrictEqual([]);
  });

  it('plays the whole when the queue is replaced before it is told to play', () => {
    const rig = new Rig();
    const segments = segmentsOf('1 4');
    rig.loop.replace(0, segments);
    rig.loop.play(0);
    const first = rig.spans[0]?.time as number;
    rig.host.advance(first + 30_000);
    expect(rig.said('segment').map((one) => one.id)).toStrictEqual([1, 2]);
    expect(differences(rig.output.ons, timeline(segments, first))).toStrictEqual([]);
  });

  it('plays again after an end, from whatever tick it is told', () => {
    const rig = new Rig();
    playTo(rig, segmentsOf('1'), until);
    const before = rig.output.ons.length;
    rig.play(goOn(begin(take('1'), 0, 100_000), 200_000).segments);
    rig.host.advance(rig.host.now() + 30_000);
    expect(rig.output.ons).toHaveLength(2 * before);
    expect(rig.states).toStrictEqual(['running', 'stopped', 'running', 'stopped']);
  });

  /** Two notes, so many milliseconds after the start, in a segment of a hundredth of a millisecond a tick. */
  const twoNotes = (one: number, other: number): Segment => {
    const note = { length: 50_000, voice: 'chop', channel: 1, velocity: 90 } as const;
    const events = packEvents([
      { ...note, at: Math.round(one * 100), note: midiNote(62) },
      { ...note, at: Math.round(other * 100), note: midiNote(64) },
    ]);
    const tempoMap = Float64Array.of(0, 0.01);
    return segment({ length: 90_000, tempoMap, events, onEnd: 'stop' });
  };
  const lateBy = (rig: Rig): number[] =>
    rig.output.ons.map(({ time, sentAt }) => Math.round((sentAt - time) * 1e6));

  // Timers are no finer than a millisecond.
  it.each([0.1, 0.4, 0.9, 1.5])('is on time for two notes %f ms apart', (gap) => {
    const rig = new Rig();
    playTo(rig, [twoNotes(100, 100 + gap)], 90_000);
    expect(lateBy(rig)).toStrictEqual([0, 0]);
  });

  // At 270 the last course of a chord left to ring is damped 0.26 ms before the click that follows.
  it.each([240, 270, 330])('is on time after a chord left to ring at %i', (tempo) => {
    const rig = new Rig();
    playTo(rig, segmentsOf('1~ 1', {}, { tempo }), until);
    expect(lateBy(rig).filter((late) => late > 1)).toStrictEqual([]);
  });
});
