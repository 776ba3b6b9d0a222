import { describe, expect, it } from 'vitest';
import { Lane, lateLimit } from '../../src/player/lane.js';
import { Lateness } from '../../src/player/lateness.js';
import { openNone } from '../../src/player/outputs/output.js';
import { type Instance, Transport } from '../../src/player/transport.js';
import type { Segment } from '../../src/time/segment.js';
import { segment } from './segments.js';
import { RecordingOutput, VirtualHost } from './virtual-host.js';

/** A lane over a queue that begins at tick 0, time 5000, a millisecond a tick. */
function laneOver(queue: readonly Segment[], lead = 0, transport = new Transport()) {
  const host = new VirtualHost(5000);
  const output = new RecordingOutput(host, lead);
  const lateness = new Lateness();
  transport.append(queue);
  transport.start(0, 5000);
  const lane = new Lane(output, transport, lateness);
  lane.seek(-1);
  const at = (time: number): string[] => {
    const before = output.sent.length;
    host.waitUntil(time);
    lane.dispatch(host.now(), () => host.now());
    return output.sent.slice(before).map((one) => `${one.status.toString(16)} ${one.note} ${one.time}`);
  };
  return { lane, output, lateness, at };
}

describe('dispatch', () => {
  it('sends what is due, note-offs first, and knows when the next is', () => {
    const { lane, at } = laneOver([
      segment({ onEnd: 'stop' }, [
        [0, 100, 60],
        [100, 50, 62],
      ]),
    ]);
    expect(lane.nextTime()).toBe(5000);
    expect(at(5000)).toStrictEqual(['91 60 5000']);
    expect(lane.nextTime()).toBe(5100);
    expect(at(5099)).toStrictEqual([]);
    expect(at(5100)).toStrictEqual(['81 60 5100', '91 62 5100']);
    expect(at(5150)).toStrictEqual(['81 62 5150']);
    expect(lane.nextTime()).toBe(Number.POSITIVE_INFINITY);
  });

  it('tells the output what is known of a note: its voice, and how many ms it lasts', () => {
    const told: (number | undefined)[][] = [];
    const output = {
      ...openNone(),
      send: (status: number, note: number, _: number, at: number, voice?: number, length?: number) =>
        told.push([status, note, at, voice, length]),
    };
    const transport = new Transport();
    transport.append([segment({ onEnd: 'stop' }, [[10, 60, 62]])]);
    transport.start(0, 5000);
    const lane = new Lane(output, transport, new Lateness(), { offset: 3 });
    lane.seek(-1);
    for (const now of [5007, 5067]) lane.dispatch(now, () => now);
    expect(told).toStrictEqual([
      [0x91, 62, 5007, 3, 60],
      [0x81, 62, 5067, undefined, undefined],
    ]);
  });

  it('sends as early as the output wants it', () => {
    const { lane, at } = laneOver([segment({}, [[200, 10, 60]])], 150);
    expect(lane.nextTime()).toBe(5050);
    expect(at(5049)).toStrictEqual([]);
    expect(at(5050)).toStrictEqual(['91 60 5200']);
  });

  it('ends a note before it is struck again', () => {
    const { at, output } = laneOver([
      segment({}, [
        [0, 500, 60],
        [100, 500, 60],
      ]),
    ]);
    expect(at(5000)).toStrictEqual(['91 60 5000']);
    expect(at(5100)).toStrictEqual(['81 60 5100', '91 60 5100']);
    expect(at(5599)).toStrictEqual([]);
    expect(at(5600)).toStrictEqual(['81 60 5600']);
    expect(output.hanging()).toStrictEqual([]);
  });

  it('sends what is a little late, leaves out and counts what is too late, and its end with it', () => {
    const { at, lateness } = laneOver([
      segment({}, [
        [0, 10, 60],
        [100, 10, 62],
      ]),
    ]);
    expect(at(5100 + lateLimit)).toStrictEqual(['91 62 5100', '81 62 5110']);
    expect(lateness.report()).toMatchObject({ count: 1, missed: 1, max: lateLimit });
  });

  it('sends an early note of the segment to come while the one before plays', () => {
    const { at } = laneOver([
      segment({}, [[950, 10, 60]]),
      segment({ id: 2, startTick: 1000 }, [
        [-60, 10, 62],
        [0, 10, 64],
      ]),
    ]);
    expect(at(5940)).toStrictEqual(['91 62 5940']);
    expect(at(5950)).toStrictEqual(['81 62 5950', '91 60 5950']);
    expect(at(6000)).toStrictEqual(['81 60 5960', '91 64 6000']);
  });

  it('leaves out what lies before the place a segment is begun at', () => {
    const { at } = laneOver([
      segment(),
      segment({ id: 2, startTick: 1000, skip: 500, length: 500 }, [
        [-60, 10, 59],
        [499, 10, 60],
        [500, 10, 62],
      ]),
    ]);
    expect(at(5999)).toStrictEqual([]);
    expect(at(6000)).toStrictEqual(['91 62 6000']);
  });

  it('leaves out what lies after the end of a segment', () => {
    const { at } = laneOver([segment({ onEnd: 'stop' }, [[1000, 10, 60]])]);
    expect(at(9000)).toStrictEqual([]);
  });

  // A loop in which nothing sounds must not keep the lane looking for the next note for ever.
  it('comes to an end over a segment that repeats and has nothing in it', () => {
    class Counted extends Transport {
      private turns = 0;

      override after(instance: Instance): Instance | null {
        this.turns += 1;
        if (this.turns > 1000) throw new Error('it goes round without end');
        return super.after(instance);
      }
    }
    const silent = segment({ onEnd: 'repeat' });
    expect(() => laneOver([silent], 0, new Counted()).lane.nextTime()).not.toThrow();
  });
});

describe('silence', () => {
  it('ends all that sounds and silences what was sent ahead', () => {
    const { lane, output, at } = laneOver([
      segment({}, [
        [0, 300, 60],
        [0, 200, 64],
      ]),
    ]);
    at(5000);
    lane.silence(5050);
    expect(output.offs.map((one) => [one.note, one.time])).toStrictEqual([
      [64, 5050],
      [60, 5050],
    ]);
    expect(output.panics).toBe(1);
    expect(output.unflushed).toBe(0);
    expect(at(5400)).toStrictEqual([]);
  });

  it('ends notes that another player left, and all on their channels', () => {
    const { lane, output } = laneOver([]);
    lane.silenceNotes([(1 << 7) | 60, (1 << 7) | 64, (9 << 7) | 76], 5000);
    expect(output.sent.map(({ status, note, velocity }) => [status, note, velocity])).toStrictEqual([
      [0x81, 60, 0],
      [0x81, 64, 0],
      [0x89, 76, 0],
      [0xb1, 123, 0],
      [0xb9, 123, 0],
    ]);
    expect(output.unflushed).toBe(0);
  });
});
