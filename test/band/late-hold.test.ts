import { describe, expect, it } from 'vitest';
import { lead } from '../../src/band/say.js';
import { released } from '../../src/playback/release.js';
import { unmoved } from '../../src/playback/session.js';
import { playOrPause } from '../../src/playback/transport.js';
import { MachineClock, seeded, type Way, World } from './network.js';
import { windingSong } from './songs.js';
import { Room, Stand } from './stage.js';

const wired: Way = { delay: 0.3, jitter: 0.4, loss: 0, doubled: 0, reorders: false };

const stopSong = `title: Gate Shut
key: G
tempo: 120
meter: 4/4
form: V, V
sections:
  V: |
    1 4 @wait 5 1
`;

describe('somebody who joins while the band waits', () => {
  it.each([
    ['a held chord', windingSong],
    ['a stop', stopSong],
  ])('waits as well, and goes on with it: %s', (_, song) => {
    const world = new World();
    const random = seeded(9);
    const room = new Room();
    const come = (id: string): Stand => {
      const one = new Stand(world, id, new MachineClock(world, 1e6 * random(), (random() - 0.5) * 2e-4));
      one.join(room, wired, wired, random);
      return one;
    };
    const leader = come('leader');
    leader.act(lead);
    leader.put(song);
    world.advance(1500);
    leader.play((session) => playOrPause(session));
    world.advance(15_000);
    const waits = leader.where();
    const late = come('late');
    world.advance(17_000);
    expect(late.where()).toBe(waits);
    world.advance(25_000);
    expect(leader.where()).toBe(waits);
    expect(late.where()).toBe(waits);
    expect(late.session.performance?.cursor.waits).toBe(leader.session.performance?.cursor.waits);
    expect(late.strikes(9)).toStrictEqual([]);
    expect(late.output.hanging).toBe(0);
    leader.play((session, at) => released(session, at) ?? unmoved(session));
    world.advance(26_500);
    expect(late.where()).toBe(leader.where());
    expect(leader.where()).not.toBe(waits);
    expect(Math.abs(late.ticksApart(leader))).toBeLessThan(2);
    expect(late.strikes(9).length).toBeGreaterThan(0);
  });
});
