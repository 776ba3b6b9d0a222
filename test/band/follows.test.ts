import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lead } from '../../src/band/say.js';
import { onePassMore, sectionAgain, toEnding } from '../../src/playback/jumps.js';
import { released } from '../../src/playback/release.js';
import { type Played, type Session, unmoved, withSetup } from '../../src/playback/session.js';
import { goTo, playOrPause, setLoop, toggleLastPass } from '../../src/playback/transport.js';
import { holdChord } from '../../src/playback/vamp.js';
import { transposeKey } from '../../src/theory/key.js';
import { placeAt } from '../../src/time/conductor.js';
import { tickAt } from '../../src/time/segment.js';
import { MachineClock, seeded, type Way, World } from './network.js';
import { plainSong, tuneSong, windingSong, windingTune } from './songs.js';
import { Room, Stand } from './stage.js';

type Wish = (session: Session, at: number) => Played;

/** What a leader may ask of the music. */
const wishes: Readonly<Record<string, Wish>> = {
  'once more': sectionAgain,
  ending: toEnding,
  'one pass more': onePassMore,
  'last pass': toggleLastPass,
  'hold or let go': holdChord,
  release: (session, at) => released(session, at) ?? unmoved(session),
  faster: (session) => unmoved(withBpm(session, 1.08)),
  slower: (session) => unmoved(withBpm(session, 0.9)),
  'key up': (session) => unmoved(withKey(session)),
  'to a bar': (session, at) => goTo(session, 3, at),
  'loop from': (session, at) => setLoop(session, 'from', at),
  'loop to': (session, at) => setLoop(session, 'to', at),
  'no loop': (session, at) => setLoop(session, 'off', at),
  play: (session) => playOrPause(session),
};

function withBpm(session: Session, share: number): Session {
  const bpm = session.performance?.setup.bpm ?? 100;
  return withSetup(session, { bpm: Math.max(60, Math.min(260, Math.round(bpm * share))) });
}

function withKey(session: Session): Session {
  const key = session.performance?.setup.key;
  return key ? withSetup(session, { key: transposeKey(key, 1) }) : session;
}

const way = fc.record({
  delay: fc.double({ min: 0.1, max: 15, noNaN: true }),
  jitter: fc.double({ min: 0, max: 10, noNaN: true }),
  loss: fc.double({ min: 0, max: 0.3, noNaN: true }),
  doubled: fc.double({ min: 0, max: 0.2, noNaN: true }),
  reorders: fc.boolean(),
});

const happening = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      kind: fc.constant('wish' as const),
      wish: fc.constantFrom(...Object.keys(wishes)),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('cut' as const), who: fc.nat(2), ms: fc.nat(12_000) }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('reconnect' as const), who: fc.nat(2), ms: fc.nat(8000) }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('join' as const) }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('die' as const), who: fc.nat(2) }) },
);

/** The places of the next few bars, by the band's ticks. */
function ahead(stand: Stand, from: number): readonly string[] {
  const { conductor } = stand.session.performance ?? {};
  const shift = stand.leads ? stand.band.led.shift : stand.band.follower.shift;
  return Array.from({ length: 60 }, (_, step) => {
    const place = conductor ? placeAt(conductor, from + 480 * step + shift) : null;
    return place ? `${place.counting ? 'count ' : ''}${place.pass}.${place.bar}.${place.into}` : 'end';
  });
}

/** The tick of the band at which a stand is. */
function bandTick({ session, machine, leads, band }: Stand): number {
  const shift = leads ? band.led.shift : band.follower.shift;
  return Math.ceil(tickAt(session.link.spans, machine.read())) - shift;
}

/** Whatever happened: a while after the network is whole each follower plays the leader's form, at the leader's time. */
function agrees(song: string, runs: number): void {
  fc.assert(
    fc.property(
      fc.array(fc.record({ wait: fc.nat(4000), what: happening }), { maxLength: 14 }),
      way,
      way,
      fc.integer(),
      (happenings, to, from, seed) => {
        const world = new World();
        const random = seeded(seed);
        const room = new Room();
        const near: Way = { delay: 0.02, jitter: 0.02, loss: 0, doubled: 0, reorders: false };
        let count = 0;
        const come = (): Stand => {
          count += 1;
          const machine = new MachineClock(world, 1e6 * random(), (random() - 0.5) * 2e-4);
          return new Stand(world, `stand-${count}`, machine);
        };
        const leader = come();
        leader.join(room, near, near, random);
        leader.act(lead);
        const wires = { to: { ...to }, from: { ...from } };
        const join = (): Stand => {
          const stand = come();
          stand.join(room, wires.to, wires.from, random);
          return stand;
        };
        let followers = [join(), join()];
        leader.put(song);
        world.advance(1500);
        leader.play((session) => playOrPause(session));
        for (const { wait, what } of happenings) {
          world.advance(world.now + wait);
          const who = 'who' in what ? followers[what.who] : undefined;
          const place = who && room.places.get(who);
          if (what.kind === 'wish') leader.play(wishes[what.wish] as Wish);
          else if (what.kind === 'join' && followers.length < 4) followers.push(join());
          else if (what.kind === 'cut' && place) {
            place.to.cut = true;
            place.from.cut = true;
            world.at(world.now + what.ms, () => {
              place.to.cut = false;
              place.from.cut = false;
            });
          } else if (what.kind === 'reconnect' && who) {
            room.disconnect(who);
            world.at(world.now + what.ms, () => who.alive && who.back());
          } else if (what.kind === 'die' && who) {
            who.die();
            followers = followers.filter((one) => one !== who);
          }
        }
        // From now on nothing is lost.
        for (const { to: there, from: back } of room.places.values()) {
          there.lossless();
          back.lossless();
        }
        world.advance(world.now + 32_000);
        const state = leader.session.link.state;
        for (const one of followers) {
          // Who came while it stood still has never played.
          expect(one.session.link.state === 'running').toBe(state === 'running');
          if (state !== 'running') {
            expect(one.session.performance?.cursor.bar).toBe(leader.session.performance?.cursor.bar);
            continue;
          }
          // What lies behind one of them is past, also where time stands still.
          const tick = Math.max(bandTick(leader), bandTick(one));
          expect(ahead(one, tick)).toStrictEqual(ahead(leader, tick));
          const off = one.ticksApart(leader);
          const slack = Math.abs(to.delay - from.delay) / 2 + Math.max(to.jitter, from.jitter) / 2 + 1;
          if (!Number.isNaN(off)) expect(Math.abs(off)).toBeLessThanOrEqual(slack);
        }
      },
    ),
    { numRuns: runs },
  );
}

describe('a follower’s form', () => {
  it('is the leader’s after any requests, losses and rejoins', () => agrees(plainSong, 4), 120_000);
  it(
    'is so too in a song that waits, slows down and changes its tempo',
    () => agrees(windingSong, 4),
    120_000,
  );
  it('and where there is a tune to lead into what comes', () => agrees(tuneSong, 3), 120_000);
  it('in that song too', () => agrees(windingTune, 3), 120_000);
});
