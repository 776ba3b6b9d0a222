import { describe, expect, it } from 'vitest';
import { leaderId, newBand } from '../../src/band/band.js';
import { bandHeard } from '../../src/band/hear.js';
import type { LinkEvent } from '../../src/band/link.js';
import { lead, request, result, shareNotes, shareSet, talk, turnAway, will } from '../../src/band/say.js';
import { encode } from '../../src/band/wire.js';
import { onePassMore, sectionAgain, toEnding } from '../../src/playback/jumps.js';
import { released } from '../../src/playback/release.js';
import { unmoved, withSetup } from '../../src/playback/session.js';
import { playOrPause } from '../../src/playback/transport.js';
import { tickAt } from '../../src/time/segment.js';
import { MachineClock, percentile, seeded, type Way, World } from './network.js';
import { samples } from './samples.js';
import { plainSong, windingSong } from './songs.js';
import { Room, Stand } from './stage.js';

const near: Way = { delay: 0.02, jitter: 0.02, loss: 0, doubled: 0, reorders: false };
const wired: Way = { delay: 0.3, jitter: 0.4, loss: 0, doubled: 0, reorders: false };
const wireless: Way = { delay: 1, jitter: 8, loss: 0.01, doubled: 0, reorders: false };

function stage(
  followers: number,
  to: Way,
  from: Way,
  { bpm = 120, passes = null as number | null, seed = 5 } = {},
) {
  const world = new World();
  const random = seeded(seed);
  const room = new Room();
  const come = (index: number): Stand =>
    new Stand(world, `stand-${index}`, new MachineClock(world, 1e6 * random(), (random() - 0.5) * 2e-4));
  const leader = come(0);
  leader.join(room, near, near, random);
  leader.act(lead);
  const others = Array.from({ length: followers }, (_, index) => {
    const stand = come(index + 1);
    stand.join(room, to, from, random);
    return stand;
  });
  leader.put(plainSong, { bpm, passes });
  world.advance(1500);
  const late = (index: number): Stand => {
    const stand = come(100 + index);
    stand.join(room, to, from, random);
    return stand;
  };
  return { world, room, leader, others, late };
}

/** How far, ms, each click of a stand is from the nearest of the leader's. */
function clicksOff(leader: Stand, other: Stand): number[] {
  const clicks = leader.strikes(9);
  return other.strikes(9).map((time) => Math.min(...clicks.map((click) => Math.abs(click - time))));
}

/** The beats of a band are together, from the first of the count-in to the last of the song. */
function together(to: Way, from: Way, most: number): void {
  const off: number[] = [];
  for (const seed of [1, 2, 3]) {
    const { world, leader, others } = stage(2, to, from, { seed, passes: 2 });
    leader.play((session) => playOrPause(session));
    world.advance(40_000);
    const clicks = leader.strikes(9);
    // Four of the count, and two passes of eight bars.
    expect(clicks.length).toBeGreaterThanOrEqual(4 + 2 * 8 * 2);
    for (const other of others) {
      expect(other.strikes(9)).toHaveLength(clicks.length);
      expect(other.session.link.state).toBe('stopped');
      expect(other.output.hanging).toBe(0);
      off.push(...clicksOff(leader, other));
    }
  }
  expect(percentile(off, 0.99)).toBeLessThanOrEqual(most);
}

describe('clicks of a band', () => {
  it('are together to 1 ms over a wire', () => together(wired, wired, 1));
  it('are together to 5 ms over the air, with loss and unlike ways', () =>
    together(wireless, { ...wireless, delay: 3 }, 5));
});

/** How often the section that is played comes once more. */
function jumpsOf({ session, machine }: Stand): number {
  const tick = tickAt(session.link.spans, machine.read());
  return session.performance?.jump?.ticks.filter((one) => one > tick).length ?? 0;
}

describe('a change', () => {
  it('is on all stands within 100 ms, at worst 500 ms under loss', () => {
    const { world, leader, others } = stage(3, wireless, wireless, { passes: 20 });
    leader.play((session) => playOrPause(session));
    world.advance(6000);
    const took: number[] = [];
    const changes = [
      () => leader.play(sectionAgain),
      () => leader.play((session) => unmoved(withSetup(session, { bpm: 126 + took.length }))),
      () => leader.play(onePassMore),
    ];
    for (let round = 0; round < 30; round += 1) {
      const began = world.now;
      changes[round % changes.length]?.();
      const missing = new Set(others);
      const setup = () => leader.session.performance?.setup;
      while (missing.size > 0 && world.now < began + 2000) {
        world.advance(world.now + 2);
        for (const one of missing) {
          const own = one.session.performance;
          if (
            own?.setup.bpm === setup()?.bpm &&
            own?.setup.passes === setup()?.passes &&
            jumpsOf(one) === jumpsOf(leader)
          ) {
            missing.delete(one);
            took.push(world.now - began);
          }
        }
      }
      expect(missing.size).toBe(0);
      world.advance(world.now + 700);
    }
    expect(percentile(took, 0.95)).toBeLessThanOrEqual(100);
    expect(Math.max(...took)).toBeLessThanOrEqual(500);
  });
});

describe('a late joiner', () => {
  it('is in place within a second', () => {
    const { world, leader, late } = stage(1, wireless, wireless);
    leader.play((session) => playOrPause(session));
    world.advance(9000);
    for (let index = 0; index < 5; index += 1) {
      const one = late(index);
      world.advance(world.now + 1000);
      expect(one.where()).toBe(leader.where());
      expect(Math.abs(one.ticksApart(leader))).toBeLessThan(5);
      world.advance(world.now + 1300);
    }
  });
});

describe('a link that is cut for ten seconds at 240 bpm', () => {
  it('leaves the beat where it is, and nothing jumps when it is back', () => {
    const { world, room, leader, others } = stage(1, wireless, wireless, { bpm: 240 });
    const [other] = others as [Stand];
    leader.play((session) => playOrPause(session));
    world.advance(20_000);
    room.disconnect(other, false);
    const apart: number[] = [];
    for (let at = 20_000; at <= 34_000; at += 250) {
      if (at === 30_000) other.back();
      world.advance(at);
      const off = other.ticksApart(leader);
      if (!Number.isNaN(off)) apart.push(Math.abs(off));
    }
    expect(apart.length).toBeGreaterThan(40);
    expect(Math.max(...apart)).toBeLessThanOrEqual(20);
    const clicks = other.strikes(9).filter((time) => time > 19_000);
    const gaps = clicks.slice(1).map((time, index) => time - (clicks[index] as number));
    expect(Math.max(...gaps)).toBeLessThan(250 * 1.03);
    expect(Math.min(...gaps)).toBeGreaterThan(250 * 0.97);
    expect(other.events.map(({ kind }) => kind)).toContain('network');
    leader.play((session) => playOrPause(session));
    world.advance(36_000);
    expect([other.session.link.state, other.output.hanging]).toStrictEqual(['paused', 0]);
  });
});

describe('a held chord', () => {
  it('is released on all stands with the leader’s', () => {
    const { world, leader, others } = stage(2, wireless, wireless);
    leader.put(windingSong, { holds: true });
    world.advance(2500);
    leader.play((session) => playOrPause(session));
    world.advance(8000);
    leader.play((session, at) => released(session, at) ?? unmoved(session));
    const began = world.now;
    world.advance(11_000);
    const behind = (one: Stand): number => one.strikes(9).find((time) => time > began) ?? Number.NaN;
    expect(behind(leader) - began).toBeLessThan(50);
    // What a stand could not know in time it plays as soon as it does: the way to it, and to its player.
    for (const one of others) expect(behind(one) - behind(leader)).toBeLessThan(25);
    world.advance(12_000);
    for (const one of others) expect(Math.abs(one.ticksApart(leader))).toBeLessThan(5);
  });
});

describe('a leader that has gone', () => {
  it('leaves the others to play to the end of the pass', () => {
    const { world, leader, others } = stage(2, wired, wired);
    leader.play((session) => playOrPause(session));
    world.advance(10_000);
    leader.die();
    world.advance(10_500);
    expect(others.map((one) => one.session.link.state)).toStrictEqual(['running', 'running']);
    expect(others.every((one) => one.events.some(({ kind }) => kind === 'alone'))).toBe(true);
    world.advance(40_000);
    expect(others.map((one) => one.session.link.state)).toStrictEqual(['stopped', 'stopped']);
    expect(others.map((one) => one.session.performance?.cursor.pass)).toStrictEqual([1, 1]);
    expect(others.map((one) => one.output.hanging)).toStrictEqual([0, 0]);
  });

  it('leaves nobody waiting for a cue that never comes', () => {
    const { world, leader, others } = stage(2, wired, wired);
    leader.put(windingSong, { holds: true });
    world.advance(2500);
    leader.play((session) => playOrPause(session));
    world.advance(8000);
    expect([leader, ...others].map((one) => one.session.performance?.cursor.waits)).toStrictEqual([
      'chord',
      'chord',
      'chord',
    ]);
    leader.die();
    world.advance(9000);
    expect(others.map((one) => one.session.performance?.cursor.waits)).toStrictEqual([undefined, undefined]);
    world.advance(80_000);
    expect(others.map((one) => one.session.link.state)).toStrictEqual(['stopped', 'stopped']);
  });

  it('can be followed by anybody who asks, and nothing is heard of it', () => {
    const { world, leader, others } = stage(3, wired, wired);
    const [next, third, fourth] = others as [Stand, Stand, Stand];
    leader.play((session) => playOrPause(session));
    world.advance(12_000);
    leader.die();
    world.advance(13_000);
    next.act(lead);
    world.advance(16_000);
    next.play((session) => unmoved(withSetup(session, { passes: null })));
    next.play(sectionAgain);
    world.advance(30_000);
    expect([next.leads, third.leads, fourth.leads]).toStrictEqual([true, false, false]);
    expect([third.where(), fourth.where()]).toStrictEqual([next.where(), next.where()]);
    expect(next.session.link.state).toBe('running');
    for (const one of [next, third, fourth]) {
      const clicks = one.strikes(9);
      const gaps = clicks.slice(1).map((time, index) => time - (clicks[index] as number));
      expect(Math.max(...gaps)).toBeLessThan(520);
      expect(Math.min(...gaps)).toBeGreaterThan(480);
    }
    expect(percentile(clicksOff(next, third), 1)).toBeLessThan(2);
  });

  it('may have the lead back by asking', () => {
    const { world, leader, others } = stage(2, wired, wired);
    const [next, third] = others as [Stand, Stand];
    leader.play((session) => playOrPause(session));
    world.advance(8000);
    next.act(lead);
    world.advance(12_000);
    expect([leader.leads, next.leads]).toStrictEqual([false, true]);
    next.play(sectionAgain);
    world.advance(14_000);
    expect([leader.where(), third.where()]).toStrictEqual([next.where(), next.where()]);
    leader.act(lead);
    world.advance(18_000);
    expect([leader.leads, next.leads]).toStrictEqual([true, false]);
    leader.play(toEnding);
    world.advance(19_000);
    expect([next.where(), third.where()]).toStrictEqual([leader.where(), leader.where()]);
    world.advance(40_000);
    expect([leader, next, third].map((one) => one.session.link.state)).toStrictEqual([
      'stopped',
      'stopped',
      'stopped',
    ]);
    for (const one of [leader, next, third]) {
      const clicks = one.strikes(9);
      const gaps = clicks.slice(1).map((time, index) => time - (clicks[index] as number));
      expect(Math.max(...gaps)).toBeLessThan(520);
      expect(Math.min(...gaps)).toBeGreaterThan(480);
    }
  });
});

describe('a leader that has lost the network', () => {
  it('steps down, and leads again when it is back and nobody else has taken over', () => {
    const { world, room, leader, others } = stage(2, wired, wired);
    leader.play((session) => playOrPause(session));
    world.advance(8000);
    room.disconnect(leader);
    world.advance(14_500);
    expect(leader.events.map(({ kind }) => kind)).toContain('lapsed');
    expect([leader.leads, leader.session.link.state]).toStrictEqual([false, 'running']);
    expect(others.map((one) => one.session.performance?.setup.passes)).toStrictEqual([1, 1]);
    leader.back();
    world.advance(17_000);
    expect(leader.leads).toBe(true);
    expect(others.map((one) => one.session.performance?.setup.passes)).toStrictEqual([null, null]);
    world.advance(30_000);
    expect(others.map((one) => one.where())).toStrictEqual([leader.where(), leader.where()]);
    expect(others.map((one) => Math.abs(one.ticksApart(leader)) < 1)).toStrictEqual([true, true]);
  });

  it('follows whoever has taken over meanwhile', () => {
    const { world, room, leader, others } = stage(2, wired, wired);
    const [next, third] = others as [Stand, Stand];
    leader.play((session) => playOrPause(session));
    world.advance(8000);
    room.disconnect(leader);
    world.advance(9000);
    next.act(lead);
    next.play((session) => unmoved(withSetup(session, { passes: null })));
    next.play(sectionAgain);
    world.advance(16_000);
    leader.back();
    world.advance(24_000);
    expect([leader, next, third].map((one) => one.leads)).toStrictEqual([false, true, false]);
    expect([leader.where(), third.where()]).toStrictEqual([next.where(), next.where()]);
  });
});

describe('what is said', () => {
  it('is shown on every stand but the speaker’s, and a request only to the leader', () => {
    const { world, leader, others } = stage(2, wired, wired);
    const [one, other] = others as [Stand, Stand];
    one.act((band) => talk(band, 'break', 'fiddle'));
    one.act((band) => request(band, 'that one in D'));
    one.act((band) => result(band, 2, 'clean, 4 ms early'));
    world.advance(2000);
    const heard = (stand: Stand) =>
      stand.events.flatMap((event) =>
        event.kind === 'talk'
          ? [event.text]
          : event.kind === 'request'
            ? [event.title]
            : event.kind === 'result'
              ? [event.line]
              : [],
      );
    expect([leader, one, other].map(heard)).toStrictEqual([
      ['break: fiddle', 'that one in D', 'clean, 4 ms early'],
      [],
      ['break: fiddle'],
    ]);
  });

  it('comes once to somebody who joins late', () => {
    const { world, leader, late } = stage(1, wired, wired);
    const songsTo = (stand: Stand): (() => number) => {
      let count = 0;
      const { hear } = stand;
      stand.hear = (event) => {
        if (event.kind === 'message' && event.topic[2] === 'song') count += 1;
        hear.call(stand, event);
      };
      return () => count;
    };
    const one = late(1);
    const songs = songsTo(one);
    world.advance(3000);
    expect([songs(), one.band.song?.id]).toStrictEqual([1, leader.band.song?.id]);
  });

  it('is asked for again where it came while somebody else led', () => {
    const come = (from: string, kind: 'claim' | 'song', term: number): LinkEvent => {
      const sample = samples(from, term).find(({ message }) => message.kind === kind);
      if (!sample) throw new Error(kind);
      return { kind: 'message', topic: sample.topic, payload: encode(sample.message), at: 0 };
    };
    const left: LinkEvent = { kind: 'message', ...will('first'), at: 0 };
    let subscribed = 0;
    const band = [
      { kind: 'up', id: 'late' } as const,
      come('first', 'claim', 3),
      come('second', 'song', 2),
      left,
      come('second', 'claim', 2),
    ].reduce(
      (known, event) => {
        const step = bandHeard(known, event, 0);
        subscribed = step.subscribes.length;
        return step.band;
      },
      newBand({ name: 'late', part: 'bass' }),
    );
    expect([leaderId(band), band.song, subscribed > 0]).toStrictEqual(['second', null, true]);
  });

  it('reaches somebody who joins late: running order and notes', () => {
    const { world, leader, late } = stage(1, wired, wired);
    const set = { title: 'Evening', songs: [{ title: 'Osier Steps', key: 'G' }], at: 0 };
    leader.act((band, at) => shareSet(band, set, at));
    leader.act((band, at) => shareNotes(band, ['capo 2'], at));
    world.advance(5000);
    const one = late(1);
    world.advance(6000);
    expect([one.band.set, one.band.notes]).toStrictEqual([set, ['capo 2']]);
  });
});

describe('in the long run', () => {
  it('there are no more messages than one in five beats for each stand', () => {
    const { world, room, leader } = stage(4, wired, wired);
    leader.play((session) => playOrPause(session));
    world.advance(60_000);
    const before = room.messages;
    world.advance(180_000);
    const beats = 120_000 / 500;
    expect((room.messages - before) / beats / 5).toBeLessThanOrEqual(0.2);
  });
});

describe('somebody who is turned away', () => {
  it('hears of it, and nobody else', () => {
    const { world, leader, others } = stage(2, wired, wired);
    leader.act((band, at) => turnAway(band, others[1]?.id ?? '', at));
    world.advance(2000);
    expect(others.map((one) => one.events.some(({ kind }) => kind === 'turned-away'))).toStrictEqual([
      false,
      true,
    ]);
  });
});

describe('another broker', () => {
  const others = (stand: Stand) => [...stand.band.members.keys()].sort();
  const told = (stand: Stand, kind: string) =>
    stand.events.flatMap((event) => (event.kind === kind && 'member' in event ? [event.member.id] : []));

  /** The broker dies with the leader; another knows nothing yet, and the others come to it. */
  function elsewhere() {
    const made = stage(3, wired, wired);
    const { room, leader, others: stands } = made;
    leader.alive = false;
    for (const one of [leader, ...stands]) room.disconnect(one, false);
    room.kept.clear();
    return made;
  }

  it('has those who come to it: somebody who does not come has left, and who was there is not told again', () => {
    const { world, leader, others: stands } = elsewhere();
    const [one, two, three] = stands as [Stand, Stand, Stand];
    one.back();
    one.act(lead);
    world.advance(world.now + 2000);
    two.back();
    world.advance(world.now + 3000);
    expect(others(one)).toEqual([leader.id, two.id, three.id].sort());
    expect(told(one, 'left')).toEqual([]);
    world.advance(world.now + 8000);
    for (const stand of [one, two]) {
      expect(told(stand, 'left').sort()).toEqual([leader.id, three.id].sort());
      expect(told(stand, 'joined')).toHaveLength(3);
    }
    expect(others(one)).toEqual([two.id]);
    expect(others(two)).toEqual([one.id]);
    three.back();
    world.advance(world.now + 1000);
    expect(told(one, 'joined').at(-1)).toBe(three.id);
    expect(others(one)).toEqual([two.id, three.id].sort());
  });

  it('where nobody leads yet, says that nobody does', () => {
    const { world, leader, others: stands } = elsewhere();
    const [one] = stands as [Stand];
    expect(leaderId(one.band)).toBe(leader.id);
    one.back();
    world.advance(world.now + 9000);
    expect(leaderId(one.band)).toBeNull();
  });

  it('is none where only this stand’s connection was lost: what the broker keeps shows who is there', () => {
    const { world, room, leader, others: stands } = stage(3, wired, wired);
    const [one] = stands as [Stand];
    const before = others(one);
    room.disconnect(one);
    world.advance(world.now + 500);
    one.back();
    world.advance(world.now + 20_000);
    expect(others(one)).toEqual(before);
    expect(told(one, 'left')).toEqual([]);
    expect(leaderId(one.band)).toBe(leader.id);
  });
});
