import { describe, expect, it } from 'vitest';
import { lead } from '../../src/band/say.js';
import { playOrPause } from '../../src/playback/transport.js';
import { MachineClock, seeded, type Way, World } from './network.js';
import { Room, Stand } from './stage.js';

const near: Way = { delay: 0.02, jitter: 0.02, loss: 0, doubled: 0, reorders: false };

/** A bar each: nobody, the follower by name, the part that both have, whoever leads, another part. The degree says which bar it is. */
const song = `title: Whose Turn
key: C
tempo: 120
meter: 4/4
form: A, B (stand-2), C (mandolin), D (me), E (fiddle)
sections:
  A: |
    1
  B: |
    1
  C: |
    1
  D: |
    1
  E: |
    1
tune:
  A: |
    c8 |
  B: |
    d8 |
  C: |
    e8 |
  D: |
    f8 |
  E: |
    g8 |
`;

function stage() {
  const world = new World();
  const random = seeded(3);
  const room = new Room();
  const [leader, follower] = ['stand-1', 'stand-2'].map((id) => {
    const stand = new Stand(world, id, new MachineClock(world, 1e6 * random(), 0));
    stand.join(room, near, near, random);
    return stand;
  }) as [Stand, Stand];
  leader.act(lead);
  leader.put(song, { passes: 1, melody: 'others' });
  world.advance(1500);
  return { world, leader, follower };
}

/** The notes of the tune that a stand has struck, as letters. */
function tuneOf(stand: Stand): string {
  return stand.output.sent
    .filter(({ status, velocity }) => status === 0x93 && velocity > 0)
    .map(({ note }) => 'c-d-ef-g-a-b'[note % 12])
    .join('');
}

describe('the tune in a band', () => {
  it('is silent in each player’s own breaks, and “me” is whoever leads', () => {
    const { world, leader, follower } = stage();
    // What comes from a leader is put on with the player's own choice of where the tune sounds.
    follower.play((session) => ({ session: withMelody(session), commands: [], events: [] }));
    leader.play((session) => playOrPause(session));
    world.advance(world.now + 20_000);
    expect(leader.session.link.state).toBe('stopped');
    expect([tuneOf(leader), tuneOf(follower)]).toStrictEqual(['cdg', 'cfg']);
  });

  it('goes by who leads, also where that changes', () => {
    const { world, leader, follower } = stage();
    expect(minesOf(leader, follower)).toStrictEqual([
      ['mandolin', 'stand-1', 'me'],
      ['mandolin', 'stand-2'],
    ]);
    follower.act(lead);
    world.advance(world.now + 1500);
    expect(minesOf(leader, follower)).toStrictEqual([
      ['mandolin', 'stand-1'],
      ['mandolin', 'stand-2', 'me'],
    ]);
  });
});

function minesOf(...stands: readonly Stand[]): unknown {
  return stands.map(({ session }) => session.performance?.setup.mine);
}

function withMelody(session: Stand['session']): Stand['session'] {
  const { performance } = session;
  if (!performance) throw new Error('the song has not come');
  const setup = { ...performance.setup, melody: 'others' as const };
  return { ...session, performance: { ...performance, setup } };
}
