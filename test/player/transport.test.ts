import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { eventTick, type Instance, Transport } from '../../src/player/transport.js';
import type { Segment } from '../../src/time/segment.js';
import { between } from './music.js';
import { segment } from './segments.js';

/** A transport that was started at tick 0 and time 5000, and the first instances of it. */
function started(queue: readonly Segment[], count: number): { transport: Transport; made: Instance[] } {
  const transport = new Transport();
  transport.append(queue);
  transport.start(0, 5000);
  const made: Instance[] = [];
  let next = transport.first();
  while (next) {
    made.push(next);
    next = made.length < count ? transport.after(next) : null;
  }
  return { transport, made };
}

const places = (made: readonly Instance[]): number[][] =>
  made.map((one) => [one.segment.id, one.startTick, one.endTick]);

describe('instances', () => {
  it('follow each other, and end where nothing more is queued', () => {
    const { transport, made } = started([segment(), segment({ id: 2, length: 500, onEnd: 'stop' })], 9);
    expect(places(made)).toStrictEqual([
      [1, 0, 1000],
      [2, 1000, 1500],
    ]);
    expect(transport.after(made[1] as Instance)).toBeNull();
    expect(new Transport().first()).toBeNull();
  });

  it('go on when more is appended after an end', () => {
    const { transport, made } = started([segment()], 9);
    expect(transport.after(made[0] as Instance)).toBeNull();
    transport.append([segment({ id: 2, startTick: 1000 })]);
    expect(transport.after(made[0] as Instance)).toMatchObject({ startTick: 1000, endTick: 2000 });
  });

  it('repeat the last, whole, also when it began within', () => {
    const { made } = started([segment({ skip: 400, length: 600, onEnd: 'repeat' })], 3);
    expect(made.map((one) => [one.startTick, one.skip, one.endTick])).toStrictEqual([
      [0, 400, 600],
      [600, 0, 1600],
      [1600, 0, 2600],
    ]);
  });

  it('repeat until the tick of what is queued after them has come', () => {
    const queue = [segment({ onEnd: 'repeat' }), segment({ id: 2, startTick: 3000, onEnd: 'stop' })];
    expect(places(started(queue, 9).made)).toStrictEqual([
      [1, 0, 1000],
      [1, 1000, 2000],
      [1, 2000, 3000],
      [2, 3000, 4000],
    ]);
  });

  it('have the ticks of their events', () => {
    const early = segment({ startTick: 1000, skip: 300, length: 700 }, [
      [-40, 5, 60],
      [300, 5, 62],
    ]);
    const { made } = started([segment(), early], 2);
    const of = made[1] as Instance;
    expect([0, 1].map((index) => eventTick(of, index))).toStrictEqual([660, 1000]);
  });

  it('are forgotten when they ended before a tick, but never the last', () => {
    const { transport, made } = started([segment({ onEnd: 'repeat' })], 4);
    transport.forget(2000);
    expect(transport.first()).toBe(made[1]);
    transport.forget(99_999);
    expect(transport.first()).toBe(made.at(-1));
    expect(transport.known(made[0] as Instance)).toBe(made.at(-1));
    expect(transport.known(made.at(-1) as Instance)).toBe(made.at(-1));
  });

  it('are none after clear, and begin again with start', () => {
    const { transport } = started([segment(), segment({ id: 2, startTick: 1000 })], 1);
    const before = transport.version;
    transport.clear();
    expect(transport.first()).toBeNull();
    transport.append([segment({ id: 3, startTick: 700 })]);
    transport.start(700, 9000);
    expect(transport.first()).toMatchObject({ startTick: 700, endTick: 1700 });
    expect(transport.timeOf(800)).toBe(9100);
    expect(transport.version).toBeGreaterThan(before);
  });
});

describe('times', () => {
  const slow = segment({ id: 2, startTick: 1000, tempoMap: Float64Array.of(0, 2, 500, 1), onEnd: 'repeat' });

  it.each([
    [0, 5000],
    [999, 5999],
    [1000, 6000],
    [1250, 6500],
    [1500, 7000],
    [2000, 7500],
    [2100, 7700],
    [-50, 4950],
  ])('tick %i is at %i ms', (tick, time) => {
    expect(started([segment(), slow], 3).transport.timeOf(tick)).toBe(time);
  });

  it('carry the last tempo on after all that is known', () => {
    expect(started([segment()], 1).transport.timeOf(4000)).toBe(9000);
  });

  it('tell equal neighbours once', () => {
    const { transport } = started(
      [segment(), segment({ id: 2, startTick: 1000 }), { ...slow, startTick: 2000 }],
      3,
    );
    expect(transport.spans()).toStrictEqual([
      { tick: 0, time: 5000, msPerTick: 1 },
      { tick: 2000, time: 7000, msPerTick: 2 },
      { tick: 2500, time: 8000, msPerTick: 1 },
    ]);
  });

  it('take the tempo that holds where a segment is begun', () => {
    const made = started(
      [segment({ skip: 600, length: 400, tempoMap: Float64Array.of(0, 2, 500, 1, 800, 3) })],
      1,
    );
    expect(made.transport.spans()).toStrictEqual([
      { tick: 0, time: 5000, msPerTick: 1 },
      { tick: 200, time: 5200, msPerTick: 3 },
    ]);
  });
});

describe('replace', () => {
  it('ends what plays at its tick and leaves times before it alone', () => {
    const tempo = between(0.2, 3);
    fc.assert(
      fc.property(fc.nat({ max: 3500 }), tempo, tempo, (tick, old, fresh) => {
        const queue = [segment({ tempoMap: Float64Array.of(0, old, 300, 1), onEnd: 'repeat' })];
        const { transport } = started(queue, 4);
        const before = [0, tick / 2, tick].map((at) => transport.timeOf(at));
        transport.replace(tick, [segment({ id: 9, startTick: tick, tempoMap: Float64Array.of(0, fresh) })]);
        let last = transport.first() as Instance;
        for (let next = transport.after(last); next; next = transport.after(last)) last = next;
        expect([last.segment.id, last.startTick, last.endTick]).toStrictEqual([9, tick, tick + 1000]);
        const after = [0, tick / 2, tick].map((at) => transport.timeOf(at));
        for (const [index, time] of before.entries()) expect(after[index]).toBeCloseTo(time, 6);
        expect(transport.timeOf(tick + 100)).toBeCloseTo((before[2] as number) + 100 * fresh, 6);
      }),
    );
  });
});
