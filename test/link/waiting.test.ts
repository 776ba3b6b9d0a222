import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Backoff } from '../../src/link/backoff.js';
import { type Outgoing, Waiting } from '../../src/link/waiting.js';

const message = (name: string, options: Partial<Outgoing> = {}): Outgoing => ({
  topic: ['ask', name],
  payload: Buffer.from(name),
  retain: false,
  qos: 1,
  at: 0,
  ...options,
});
const names = (messages: readonly Outgoing[]): string[] =>
  messages.map(({ payload }) => Buffer.from(payload).toString());

describe('Waiting', () => {
  it('keeps requests in order, the last of each state, and no time stamps', () => {
    const waiting = new Waiting();
    waiting.add(message('a'));
    waiting.add(message('stamp', { qos: 0 }));
    waiting.add(message('old', { retain: true, topic: ['state'] }));
    waiting.add(message('b'));
    waiting.add(message('new', { retain: true, qos: 0, topic: ['state'] }));
    expect(names(waiting.take(1))).toEqual(['a', 'b', 'new']);
    expect(waiting.size).toBe(0);
  });

  it('throws away requests that have waited for more than ten seconds, not states', () => {
    const waiting = new Waiting();
    waiting.add(message('late'));
    waiting.add(message('state', { retain: true }));
    waiting.add(message('just', { at: 1 }));
    expect(names(waiting.take(10_001))).toEqual(['state', 'just']);
  });

  it('puts back what was perhaps not heard, in front, but for states that have changed since', () => {
    const waiting = new Waiting();
    waiting.add(message('later'));
    waiting.add(message('new', { retain: true, topic: ['state'] }));
    waiting.putBack([message('first'), message('old', { retain: true, topic: ['state'] })]);
    expect(names(waiting.take(1))).toEqual(['first', 'later', 'new']);
  });

  it('is bounded, and lets go of what has waited longest', () => {
    const waiting = new Waiting();
    for (let turn = 0; turn < 1000; turn += 1) waiting.add(message(`${turn}`));
    expect(names(waiting.take(0))).toEqual(Array.from({ length: 64 }, (_, at) => `${936 + at}`));
    for (let turn = 0; turn < 10; turn += 1)
      waiting.add(message(`${turn}`, { retain: true, payload: Buffer.alloc(1 << 20) }));
    expect(waiting.take(0).map(({ topic }) => topic[1])).toEqual(['2', '3', '4', '5', '6', '7', '8', '9']);
  });

  it('never holds more than it may, whatever comes', () => {
    const any = fc.record({
      topic: fc.tuple(fc.constantFrom('a', 'b'), fc.nat({ max: 400 }).map(String)),
      payload: fc.nat({ max: 600_000 }).map((length) => new Uint8Array(length)),
      retain: fc.boolean(),
      qos: fc.constantFrom(0 as const, 1 as const),
      at: fc.nat({ max: 20_000 }),
    });
    fc.assert(
      fc.property(fc.array(any, { maxLength: 300 }), (messages) => {
        const waiting = new Waiting();
        for (const one of messages) waiting.add(one);
        const all = waiting.take(0);
        expect(all.reduce((sum, { payload }) => sum + payload.length, 0)).toBeLessThanOrEqual(8 << 20);
        expect(all.length).toBeLessThanOrEqual(64 + 128);
        const states = all.filter(({ retain }) => retain).map(({ topic }) => topic.join('/'));
        expect(new Set(states).size).toBe(states.length);
      }),
      { numRuns: 30 },
    );
  });
});

describe('Backoff', () => {
  it('waits twice as long each time, up to five seconds, and begins again when it worked', () => {
    const backoff = new Backoff(() => 0);
    expect(Array.from({ length: 7 }, () => backoff.next())).toEqual([200, 400, 800, 1600, 3200, 5000, 5000]);
    backoff.reset();
    expect(backoff.next()).toBe(200);
    expect(new Backoff(() => 1).next()).toBe(100);
  });
});
