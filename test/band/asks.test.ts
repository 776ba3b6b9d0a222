import { describe, expect, it } from 'vitest';
import { type Ask, askedNow, askHeard, asksDueAt, withAsk } from '../../src/band/asks.js';
import { lead, request } from '../../src/band/say.js';
import { MachineClock, seeded, type Way, World } from './network.js';
import { Room, Stand } from './stage.js';

const wired: Way = { delay: 0.3, jitter: 0.4, loss: 0, doubled: 0, reorders: false };

/** Stands in a room of which none leads yet. */
function room(count: number, way: Way = wired) {
  const world = new World();
  const random = seeded(4);
  const place = new Room();
  const stands = Array.from({ length: count }, (_, index) => {
    const stand = new Stand(world, `stand-${index}`, new MachineClock(world, 1000 * index, 0));
    stand.join(place, way, way, random);
    return stand;
  });
  world.advance(500);
  return { world, place, stands };
}

const asked = (stand: Stand): string[] =>
  stand.events.flatMap((event) => (event.kind === 'request' ? [event.title] : []));

/** How many messages of a kind went to the broker under a topic. */
function counted(place: Room, kind: string): () => number {
  let count = 0;
  const publish = place.publish.bind(place);
  place.publish = (from, topic, ...more) => {
    if (topic[0] === kind) count += 1;
    publish(from, topic, ...more);
  };
  return () => count;
}

describe('a request', () => {
  it('that is made while nobody leads reaches who leads next, once', () => {
    const { world, place, stands } = room(3);
    const [leader, one, other] = stands as [Stand, Stand, Stand];
    const said = counted(place, 'request');
    one.act((band) => request(band, 'that one in D'));
    world.advance(30_000);
    expect(said()).toBe(0);
    leader.act(lead);
    world.advance(31_000);
    expect([asked(leader), asked(other)]).toStrictEqual([['that one in D'], []]);
    world.advance(120_000);
    // It was heard: whoever leads later is not told again.
    other.act(lead);
    world.advance(180_000);
    expect([said(), asked(leader), asked(other)]).toStrictEqual([1, ['that one in D'], []]);
  });

  it('that the leader could not hear is said again, to it or to the next, and shown once', () => {
    const { world, place, stands } = room(3);
    const [leader, one, other] = stands as [Stand, Stand, Stand];
    leader.act(lead);
    world.advance(2000);
    place.disconnect(leader, false);
    one.act((band) => request(band, 'the slow one'));
    world.advance(4500);
    leader.back();
    world.advance(20_000);
    expect(asked(leader)).toStrictEqual(['the slow one']);
    one.act((band) => request(band, 'the fast one'));
    place.disconnect(leader, false);
    world.advance(25_000);
    other.act(lead);
    world.advance(30_000);
    expect(asked(other)).toStrictEqual(['the fast one']);
  });

  it('that comes after a later one is shown all the same', () => {
    const { world, place, stands } = room(2);
    const [leader, one] = stands as [Stand, Stand];
    leader.act(lead);
    world.advance(2000);
    place.disconnect(leader, false);
    one.act((band) => request(band, 'the slow one'));
    world.advance(2500);
    leader.back();
    world.advance(2600);
    one.act((band) => request(band, 'the fast one'));
    world.advance(10_000);
    expect(asked(leader)).toStrictEqual(['the fast one', 'the slow one']);
  });

  it('whose answers are lost is shown once, and not said without end', () => {
    const { world, place, stands } = room(2);
    const [leader, one] = stands as [Stand, Stand];
    leader.act(lead);
    world.advance(2000);
    const said = counted(place, 'request');
    const publish = place.publish.bind(place);
    place.publish = (from, topic, ...more) => {
      if (topic[2] !== 'noted') publish(from, topic, ...more);
    };
    one.act((band) => request(band, 'the slow one'));
    world.advance(600_000);
    expect([asked(leader), said()]).toStrictEqual([['the slow one'], 4]);
  });
});

describe('what was asked for', () => {
  const all = (titles: readonly string[]): readonly Ask[] =>
    titles.reduce<readonly Ask[]>((asks, title, index) => withAsk(asks, index + 1, title), []);

  it('is bounded, and the same song is asked for once', () => {
    expect(all(['a', 'b', 'a']).map(({ title }) => title)).toStrictEqual(['a', 'b']);
    expect(all([...'abcdefghijkl']).map(({ title }) => title)).toStrictEqual([...'efghijkl']);
  });

  it('is forgotten when it was heard, or after twenty minutes', () => {
    const first = askedNow(all(['a', 'b']), 'm', 1000);
    expect(first.say.map(({ title }) => title)).toStrictEqual(['a', 'b']);
    const left = askHeard(first.asks, 1);
    expect(left.map(({ title }) => title)).toStrictEqual(['b']);
    expect(asksDueAt(left, 'm')).toBe(3000);
    expect(askedNow(left, 'm', 2999).say).toStrictEqual([]);
    expect(askedNow(left, 'n', 2999).say.map(({ title }) => title)).toStrictEqual(['b']);
    expect(askedNow(left, 'n', 1000 + 20 * 60_000).asks).toStrictEqual([]);
  });
});
