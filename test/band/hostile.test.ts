import fc from 'fast-check';
import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { bandHeard } from '../../src/band/hear.js';
import { type MessageOf, messageSchemas } from '../../src/band/messages.js';
import { nowBody, timeRuns } from '../../src/band/now.js';
import { lead } from '../../src/band/say.js';
import { idOf } from '../../src/band/song.js';
import { leadTopic } from '../../src/band/topics.js';
import { encode } from '../../src/band/wire.js';
import { playOrPause } from '../../src/playback/transport.js';
import { MachineClock, seeded, type Way, World } from './network.js';
import { plainSong } from './songs.js';
import { Room, Stand } from './stage.js';

const near: Way = { delay: 0.1, jitter: 0.1, loss: 0, doubled: 0, reorders: false };
const number = (least: number, most: number) =>
  fc.oneof(
    fc.integer({ min: least, max: Math.min(most, least + 20_000) }),
    fc.integer({ min: least, max: most }),
  );
const growing = (ticks: readonly number[]) => [...new Set(ticks)].sort((one, other) => one - other);

/** A place that somebody who has the word may claim: all that a message can say of where the music is. */
const bodies = (song: string, take: string) =>
  fc
    .record({
      state: fc.constantFrom('running' as const, 'running' as const, 'paused' as const, 'stopped' as const),
      take: fc.constantFrom(take, 'other.1'),
      setup: fc.record({
        key: fc.constantFrom('G', 'Bb', 'F#m'),
        bpm: fc.double({ min: 1, max: 1000, noNaN: true }),
        passes: fc.option(number(1, 1_000_000)),
        countIn: fc.integer({ min: 0, max: 8 }),
        range: fc.option(
          fc
            .tuple(number(0, 9998), number(1, 50))
            .map(([from, long]) => ({ from, to: Math.min(10_000, from + long) })),
        ),
        pattern: fc.option(fc.constantFrom('ring', 'no such')),
        bass: fc.constantFrom(null, 'walk' as const),
        ramp: fc.option(
          fc.record({ to: fc.double({ min: 0.01, max: 100, noNaN: true }), bars: number(1, 100_000) }),
        ),
        holds: fc.boolean(),
      }),
      cursor: fc.record({ bar: number(0, 9999), pass: number(1, 1_000_000) }),
      first: number(0, 1e13),
      time: fc.double({ min: -1e13, max: 1e13, noNaN: true }),
      tempos: fc.array(fc.tuple(number(0, 2_000_000), fc.constantFrom(0.01, 0.3, 0.5, 12, 100, 1e9)), {
        minLength: 1,
        maxLength: 6,
      }),
      // What lies farther ahead than may be told must be refused, or walking there would never end.
      ticks: fc.oneof(
        { weight: 8, arbitrary: fc.array(number(0, 4_000_000), { minLength: 1, maxLength: 20 }) },
        { weight: 2, arbitrary: fc.array(number(0, 1e13), { minLength: 1, maxLength: 20 }) },
      ),
      places: fc.array(
        fc.record({
          pass: number(1, 1_000_000),
          bar: number(0, 9999).map((bar) => (bar % 3 === 0 ? bar : bar % 9)),
          into: number(0, 20_000).map((into) => into % 4000),
          before: number(0, 1e9),
          counting: fc.boolean(),
          vamp: fc.boolean(),
        }),
        { minLength: 20, maxLength: 20 },
      ),
      jump: fc.option(
        fc.record({
          kind: fc.constantFrom('again' as const, 'ending' as const),
          bar: number(0, 20),
          pass: number(1, 9),
          passes: fc.option(number(1, 99)),
        }),
      ),
      vamp: fc.option(
        fc.record({
          bar: number(0, 12),
          cell: number(0, 5),
          pass: number(1, 9),
          into: number(0, 4000),
          until: fc.option(number(0, 4_000_000)),
        }),
      ),
    })
    .map(({ first, time, tempos, ticks, places, jump, vamp, ...rest }): MessageOf<'now'>['body'] => {
      const spans = [{ tick: first, time, msPerTick: tempos[0]?.[1] ?? 1 }];
      for (const [ticksOn, msPerTick] of tempos.slice(1)) {
        const last = spans.at(-1) as (typeof spans)[number];
        spans.push({ tick: last.tick + ticksOn, time: last.time + ticksOn * last.msPerTick, msPerTick });
      }
      const at = growing(ticks).map((one) => first + one);
      return {
        ...rest,
        song,
        spans,
        places: at.flatMap((tick, index) => {
          const place = places[index];
          return place ? [{ ...place, tick, vamp: place.vamp && vamp !== null }] : [];
        }),
        jump: jump && { ...jump, ticks: at },
        vamp: vamp && { ...vamp, from: first, until: vamp.until === null ? null : first + vamp.until },
      };
    })
    .filter((body) => v.is(nowBody, body));

describe('a leader that means ill', () => {
  it('can lead nobody into what has no end, or into a fault', () => {
    fc.assert(
      fc.property(
        fc.array(bodies(idOf(plainSong), 'stand-1.1'), { minLength: 1, maxLength: 5 }),
        fc.boolean(),
        (made, plays) => {
          const world = new World();
          const room = new Room();
          const random = seeded(3);
          const leader = new Stand(world, 'stand-1', new MachineClock(world, 1000, 0));
          leader.join(room, near, near, random);
          leader.act(lead);
          const other = new Stand(world, 'stand-2', new MachineClock(world, 5000, 0));
          other.join(room, near, near, random);
          leader.put(plainSong);
          world.advance(1500);
          if (plays) leader.play((session) => playOrPause(session));
          world.advance(4000);
          const song = other.band.song?.id ?? '';
          for (const [index, body] of made.entries()) {
            const message: MessageOf<'now'> = {
              kind: 'now',
              v: 1,
              from: 'stand-1',
              seq: 1e6 + index,
              term: 1,
              body: { ...body, song },
            };
            expect(v.is(messageSchemas.now, message)).toBe(true);
            other.act((band, at) =>
              bandHeard(
                band,
                { kind: 'message', topic: leadTopic('stand-1', 'now'), payload: encode(message), at },
                at,
              ),
            );
            world.advance(world.now + 300);
          }
          expect(other.alive).toBe(true);
          // Whatever it was told, what it holds of the song is bounded.
          expect(other.session.performance?.conductor?.sent.length ?? 0).toBeLessThan(5000);
        },
      ),
      { numRuns: 20 },
    );
  }, 60_000);
});

describe('spans that come from outside', () => {
  const good = { tick: 0, time: 0, msPerTick: 0.5 };

  it('may stand still and be released', () => {
    expect(
      timeRuns([
        good,
        { tick: 100, time: 50, msPerTick: 1e9 },
        { tick: 100, time: 900, msPerTick: 1e-8 },
        { tick: 1000, time: 900, msPerTick: 0.4 },
      ]),
    ).toBe(true);
  });

  it.each([
    ['go back', [good, { tick: 100, time: -1, msPerTick: 0.5 }]],
    ['leap ahead', [good, { tick: 1e9, time: 1, msPerTick: 0.5 }]],
    ['fly', [{ ...good, msPerTick: 1e-3 }]],
    ['end in a stop that is passed over', [good, { tick: 100, time: 50, msPerTick: 1e-8 }]],
    [
      'have a stop without end',
      [good, { tick: 100, time: 50, msPerTick: 1e9 }, { tick: 1e9, time: 1e15, msPerTick: 0.5 }],
    ],
  ])('may not %s', (_, spans) => {
    expect(timeRuns(spans)).toBe(false);
  });
});
