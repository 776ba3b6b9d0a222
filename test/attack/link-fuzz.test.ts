import { once } from 'node:events';
import { connect } from 'node:net';
import { afterEach, expect, it } from 'vitest';
import type { BrokerEvent } from '../../src/link/broker/messages.js';
import { BandBroker } from '../../src/link/broker/serve.js';
import { FrameWatch } from '../../src/link/frames.js';
import { newSeat } from '../../src/link/seat.js';
import { pause, until } from '../e2e/harness.js';
import { connectPacket, packet, publishPacket, subscribePacket } from '../link/packets.js';
import { rules } from '../link/rules.js';

const password = 'by the word';
const root = 'barkline/b1';
const thrown: unknown[] = [];
const note = (error: unknown): void => void thrown.push(error);
process.on('uncaughtException', note);
process.on('unhandledRejection', note);

let broker: BandBroker | null = null;
afterEach(() => broker?.close());

/** Numbers by chance from a seed (mulberry32), so that a failure can be had again. */
function chance(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) % below;
  };
}

const topics = [
  'state',
  'ask/0123456789abcdef',
  '',
  '#',
  '+',
  '$SYS/x',
  'a/'.repeat(120),
  '\u0000',
  'é\ud800',
  '__proto__',
  'constructor',
];

function someTopic(draw: (below: number) => number): string {
  const topic = topics[draw(topics.length)] as string;
  return draw(2) === 0 ? topic : `${root}/${topic}`;
}

/** A packet that is right, wrong in its values, of a random kind, or nothing of the sort. */
function somePacket(draw: (below: number) => number): Buffer {
  const noise = (): Buffer => Buffer.from(Array.from({ length: draw(80) }, () => draw(256)));
  switch (draw(7)) {
    case 0:
      return publishPacket(someTopic(draw), noise(), draw(16));
    case 1:
      return subscribePacket([someTopic(draw), someTopic(draw)], draw(256));
    case 2:
      return packet(0xa2, Buffer.concat([Buffer.from([0, draw(3)]), noise()]));
    case 3:
      // Answers to what was never asked, signs of life, and leaving.
      return packet(
        [0x40, 0x50, 0x62, 0x70, 0xc0, 0xd0, 0xe0, 0xf0][draw(8)] as number,
        noise().subarray(0, draw(4)),
      );
    case 4:
      return connectPacket({
        id: someTopic(draw),
        user: 'x',
        password: 'y',
        keepalive: draw(65_536),
        clean: draw(2) === 0,
      });
    case 5:
      return packet(draw(256), noise(), draw(200));
    default:
      return noise();
  }
}

function changed(bytes: Buffer, draw: (below: number) => number): Buffer {
  const copy = Buffer.from(bytes);
  for (let turn = draw(4); turn > 0 && copy.length > 0; turn -= 1) copy[draw(copy.length)] = draw(256);
  return draw(6) === 0 ? copy.subarray(0, draw(copy.length + 1)) : copy;
}

it('lives on whatever packets come, before joining and after', async () => {
  const events: BrokerEvent[] = [];
  // A clock that runs ahead: what is counted a second is no bound here, and wrong words are soon forgiven.
  let now = 0;
  const leader = newSeat();
  const open = new BandBroker(
    { band: 'b1', password, leader: { id: leader.id, password: 'own' }, rules, host: '127.0.0.1', port: 0 },
    () => (now += 60_000),
    (event) => events.push(event),
  );
  broker = open;
  await open.open();
  await until(() => events.length > 0);
  const listening = events[0] as Extract<BrokerEvent, { kind: 'listening' }>;

  const say = async (pieces: readonly Buffer[]): Promise<void> => {
    const socket = connect({ host: '127.0.0.1', port: listening.port });
    socket.on('error', () => {});
    socket.resume();
    const closed = once(socket, 'close').catch(() => {});
    const answered = once(socket, 'data').catch(() => {});
    const [first, ...others] = pieces;
    if (first) socket.write(first);
    await Promise.race([closed, answered, pause(40)]);
    for (const piece of others) {
      if (!socket.writable) break;
      socket.write(piece);
      await pause(0);
    }
    socket.end();
    await Promise.race([closed, pause(40)]);
    socket.destroy();
    await closed;
  };
  let joined = 0;
  for (let seed = 1; seed <= 600; seed += 1) {
    const draw = chance(seed);
    const seat = newSeat();
    const first = connectPacket({ id: seat.id, user: seat.token, password });
    const pieces = [draw(4) === 0 ? changed(first, draw) : first];
    for (let turn = 0; turn < 12; turn += 1) {
      const one = somePacket(draw);
      pieces.push(draw(2) === 0 ? changed(one, draw) : one);
    }
    const before = events.length;
    await say(draw(5) === 0 ? pieces.slice(1) : pieces);
    joined += events.slice(before).filter(({ kind }) => kind === 'joined').length;
    expect(thrown, `seed ${seed}`).toEqual([]);
  }
  // The trial is none if nearly all were shut out at once.
  expect(joined).toBeGreaterThan(100);

  const seat = newSeat();
  const socket = connect({ host: '127.0.0.1', port: listening.port });
  let received = Buffer.alloc(0);
  socket.on('data', (piece) => {
    received = Buffer.concat([received, piece]);
  });
  socket.write(connectPacket({ id: seat.id, user: seat.token, password }));
  expect(await until(() => received.length >= 4)).toBe(true);
  expect([...received.subarray(0, 4)]).toEqual([0x20, 2, 0, 0]);
  socket.destroy();
});

it('reads the heads of random bytes without end or error', () => {
  const draw = chance(7);
  for (let turn = 0; turn < 3000; turn += 1) {
    const watch = new FrameWatch(10_000);
    const bytes = Buffer.from(Array.from({ length: draw(300) }, () => draw(256)));
    expect(typeof watch.look(bytes)).toBe('boolean');
    expect(watch.frames).toBeLessThanOrEqual(bytes.length);
  }
});
