import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Loop } from '../../src/player/loop.js';
import type { FromPlayer } from '../../src/player/messages.js';
import { between } from './music.js';
import { segment } from './segments.js';
import { RecordingOutput, VirtualHost } from './virtual-host.js';

/** A stop or a pause acts within this many ms, and messages are read at least so often, whatever is due. */
const obeyedMs = 20;
const readMs = 10;

interface Way {
  /** Ms from one note to the next, their length as a share of that, and quarters a minute. */
  readonly apart: number;
  readonly share: number;
  readonly outs: readonly { readonly lead: number; readonly offset: number; readonly clock: boolean }[];
  /** Timers are late by this many ms, in turn. */
  readonly late: readonly number[];
  /** The process is stopped at these ms after the start, for so long. */
  readonly stalls: readonly { readonly at: number; readonly ms: number }[];
  /** When it is told to stop, ms after the start. */
  readonly stop: number;
}

const way: fc.Arbitrary<Way> = fc.record({
  apart: fc.oneof(between(0.2, 12), between(5, 200)),
  share: between(0.1, 3),
  outs: fc.array(
    fc.record({
      lead: fc.constantFrom(0, 0, 150),
      offset: fc.oneof(fc.constant(0), between(-40, 40)),
      clock: fc.boolean(),
    }),
    { minLength: 1, maxLength: 4 },
  ),
  late: fc.array(fc.oneof(between(0, 1), between(0, 12)), { minLength: 1, maxLength: 5 }),
  stalls: fc.array(fc.record({ at: between(0, 1500), ms: fc.oneof(between(1, 60), between(1, 4000)) }), {
    maxLength: 12,
  }),
  stop: between(20, 1500),
});

/** Plays a row of notes in that way, tells it to stop, and goes on for a second. */
function played({ apart, share, outs, late, stalls, stop }: Way, send: (loop: Loop) => void) {
  let turn = 0;
  const host = new VirtualHost(5000, () => late[turn++ % late.length] as number);
  const outputs = outs.map(({ lead }) => new RecordingOutput(host, lead));
  const announced: { readonly message: FromPlayer; readonly at: number }[] = [];
  const loop = new Loop(host, (message) => announced.push({ message, at: host.now() }));
  loop.setOutputs(
    outs.map(({ offset, clock }, index) => ({
      output: outputs[index] as RecordingOutput,
      options: { offset, clock },
    })),
  );
  const msPerTick = 0.2;
  const count = Math.ceil(300 / apart);
  const ticks = (ms: number): number => Math.max(1, Math.round(ms / msPerTick));
  const notes = Array.from(
    { length: count },
    (_, index) => [ticks(index * apart), ticks(apart * share), 40 + (index % 40)] as const,
  );
  loop.append([
    segment(
      { length: ticks(count * apart), onEnd: 'repeat', tempoMap: Float64Array.of(0, msPerTick) },
      notes,
    ),
  ]);
  const begun = host.now();
  loop.play(0);
  // While it is stopped nobody can be obeyed: what is judged is how long it takes from then on.
  host.stalls = stalls
    .map(({ at, ms }) => ({ at: begun + at, ms }))
    .filter(({ at }) => at < begun + stop)
    .sort((one, other) => one.at - other.at);
  host.post(begun + stop, () => send(loop));
  const stalled = host.stalls.reduce((sum, { ms }) => sum + ms, 0);
  host.advance(begun + stop + stalled + 1000);
  return { host, outputs, announced, told: begun + stop };
}

describe('a player, whatever is due', () => {
  it('reads its messages, obeys a pause in time, and ends every note', () => {
    fc.assert(
      fc.property(way, (made) => {
        const { host, outputs, announced, told } = played(made, (loop) => loop.pause());
        expect(host.longestHold).toBeLessThanOrEqual(readMs);
        const paused = announced.find(
          ({ message }) => message.kind === 'state' && message.state === 'paused',
        );
        expect((paused?.at ?? Number.NaN) - Math.max(told, host.woke)).toBeLessThanOrEqual(obeyedMs);
        for (const output of outputs) {
          expect(output.hanging()).toStrictEqual([]);
          expect(output.unflushed).toBe(0);
        }
      }),
      { numRuns: 1000 },
    );
  });

  it('lets its watch end it, which looks at every turn', () => {
    const host = new VirtualHost();
    const output = new RecordingOutput(host);
    let looks = 0;
    const loop: Loop = new Loop(
      host,
      () => {},
      () => {
        looks += 1;
        if (host.now() > 6000) loop.end();
      },
    );
    loop.setOutput(output);
    loop.append([
      segment({ onEnd: 'repeat' }, [
        [0, 900, 60],
        [3, 4, 62],
        [6, 4, 64],
      ]),
    ]);
    loop.play(0);
    host.advance(9000);
    expect(looks).toBeGreaterThan(2);
    expect(output.hanging()).toStrictEqual([]);
    expect(Math.max(...output.sent.map(({ sentAt }) => sentAt))).toBeLessThan(6100);
  });

  it('waits no longer at a stretch than its messages may wait, when it is as late as it can be', () => {
    // Every timer is as late as one is reckoned with, so that it reaches as far ahead as it ever does.
    const outs = [0, -3.1, 5.7].map((offset) => ({ lead: 0, offset, clock: true }));
    const { host } = played(
      { apart: 4, share: 1, outs, late: [9], stalls: [{ at: 200, ms: 25 }], stop: 900 },
      (loop) => loop.pause(),
    );
    expect(host.longestHold).toBeLessThanOrEqual(readMs);
  });

  it('is on time again when timers are', () => {
    const host: VirtualHost = new VirtualHost(5000, (): number => (host.now() < 6000 ? 9 : 0));
    const output = new RecordingOutput(host);
    const loop = new Loop(host, () => {});
    loop.setOutput(output);
    const notes = Array.from({ length: 200 }, (_, index) => [index * 5, 2, 60] as const);
    loop.append([segment({ onEnd: 'repeat' }, notes)]);
    loop.play(0);
    host.advance(8000);
    const late = output.ons.filter(({ sentAt }) => sentAt > 6100).map(({ time, sentAt }) => sentAt - time);
    expect(late.length).toBeGreaterThan(300);
    expect(Math.max(...late)).toBeLessThan(1e-6);
  });
});
