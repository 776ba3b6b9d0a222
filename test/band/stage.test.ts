import { describe, expect, it } from 'vitest';
import { lead } from '../../src/band/say.js';
import { sectionAgain } from '../../src/playback/jumps.js';
import { playOrPause } from '../../src/playback/transport.js';
import { MachineClock, percentile, seeded, type Way, World } from './network.js';
import { Room, Stand } from './stage.js';

export const text = `title: Osier Steps
key: G
tempo: 120
meter: 4/4
form: V, C
sections:
  V: |
    1 1 4 1
  C: |
    4 4 1 1
`;

const near: Way = { delay: 0.02, jitter: 0.02, loss: 0, doubled: 0, reorders: false };
const wired: Way = { delay: 0.3, jitter: 0.4, loss: 0, doubled: 0, reorders: false };

function stage(followers: number, way = wired, back = wired) {
  const world = new World();
  const random = seeded(5);
  const room = new Room(world);
  const stands = Array.from({ length: followers + 1 }, (_, index) => {
    const machine = new MachineClock(world, 1000 + index * 77_777, (index % 3) * 4e-5 - 4e-5);
    return new Stand(world, `stand-${index}`, machine);
  });
  const [leader, ...others] = stands as [Stand, ...Stand[]];
  leader.join(room, near, near, random);
  leader.act(lead);
  for (const other of others) other.join(room, way, back, random);
  return { world, room, leader, others };
}

describe('a band', () => {
  it('plays what the leader plays', () => {
    const { world, leader, others } = stage(2);
    leader.put(text);
    world.advance(1000);
    leader.play((session) => playOrPause(session));
    world.advance(1500);
    console.log(leader.where(), others.map((one) => one.where()), others[0]?.events.map(({ kind }) => kind));
    world.advance(9000);
    console.log(leader.where(), others.map((one) => one.where()));
    leader.play(sectionAgain);
    for (let at = 9100; at < 30_000; at += 100) {
      world.advance(at);
      for (const one of others) if (one.where() !== leader.where()) console.log(at, leader.where(), one.where(), one.ticksApart(leader));
    }
    console.log(others.map((one) => one.ticksApart(leader)));
    const clicks = leader.strikes(9);
    for (const one of others) {
      const own = one.strikes(9);
      const off = own.map((time) => Math.min(...clicks.map((click) => Math.abs(click - time))));
      console.log(clicks.length, own.length, percentile(off, 0.5), percentile(off, 0.99), Math.max(...off));
    }
    expect(others.map((one) => one.where())).toStrictEqual([leader.where(), leader.where()]);
  });
});
