import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ClockReader } from '../../../src/player/inputs/input.js';
import { Stamps } from '../../../src/player/inputs/midi.js';
import type { ClockEvent } from '../../../src/player/loop.js';
import { between } from '../music.js';

/** What a reader makes of bytes, each a millisecond after the other. */
function heard(bytes: readonly number[]): ClockEvent[] {
  const events: ClockEvent[] = [];
  const reader = new ClockReader((event) => events.push(event));
  bytes.forEach((value, time) => {
    reader.byte(value, time);
  });
  return events;
}

const told = (bytes: readonly number[]): string[] =>
  heard(bytes).map((event) => (event.kind === 'place' ? `place ${event.units}` : event.kind));
const hex = (text: string): number[] =>
  text.split(' ').flatMap((byte) => (byte === '' ? [] : [Number.parseInt(byte, 16)]));

describe('ClockReader', () => {
  // MIDI 1.0: F8 clock, FA start, FB continue, FC stop; F2 song position, the least significant seven bits first.
  it.each([
    ['f8', ['pulse']],
    ['fa', ['start']],
    ['fb', ['continue']],
    ['fc', ['stop']],
    ['fa f8 f8 fc', ['start', 'pulse', 'pulse', 'stop']],
    ['f2 10 00', ['place 16']],
    ['f2 00 01', ['place 128']],
    ['f2 7f 7f', ['place 16383']],
    ['f2 10 00 fb f8', ['place 16', 'continue', 'pulse']],
    ['f2 10 00 f2 20 00', ['place 16', 'place 32']],
  ])('%s', (bytes, expected) => {
    expect(told(hex(bytes))).toStrictEqual(expected);
  });

  // MIDI 1.0: real-time messages may stand between the bytes of any other message, and leave it whole.
  it.each([
    ['f8 within a note', '90 3c f8 40', ['pulse']],
    ['f8 within a song position', 'f2 f8 10 f8 00', ['pulse', 'pulse', 'place 16']],
    ['start within a song position', 'f2 10 fa 00', ['start', 'place 16']],
    ['f8 within system exclusive', 'f0 7d 01 f8 02 f7', ['pulse']],
    ['active sensing and reset within one', 'f2 fe 10 ff 00', ['place 16']],
    ['undefined real-time messages within one', 'f2 f9 10 fd 00', ['place 16']],
  ])('%s', (_, bytes, expected) => {
    expect(told(hex(bytes))).toStrictEqual(expected);
  });

  it.each([
    ['notes, also with running status', '90 3c 40 3e 40 80 3c 00'],
    ['programs, controllers, bends', 'c0 19 b0 7b 00 e0 00 40 d0 10'],
    ['system exclusive with any data', 'f0 7d 10 00 7f f7'],
    ['song select, time code, tune request', 'f3 05 f1 10 f6'],
    ['active sensing, reset, undefined ones', 'fe ff f9 fd f4 f5'],
    ['data without any status', '10 00 7f'],
    ['nothing', ''],
  ])('passes over %s', (_, bytes) => {
    expect(told(hex(bytes))).toStrictEqual([]);
  });

  it.each([
    ['another message', 'f2 10 90 3c 40', []],
    ['another message, then data', 'f2 10 b0 00 00', []],
    ['the end of system exclusive', 'f2 10 f7 00', []],
    ['a new one', 'f2 10 f2 20 00', ['place 32']],
    ['a new one at once', 'f2 f2 20 00', ['place 32']],
  ])('forgets a song position that is broken off by %s', (_, bytes, expected) => {
    expect(told(hex(bytes))).toStrictEqual(expected);
  });

  it('takes no data after a song position for another: it has no running status', () => {
    expect(told(hex('f2 10 00 20 00 30 01'))).toStrictEqual(['place 16']);
  });

  it('gives each event the time at which its last byte came', () => {
    expect(heard(hex('f8 f2 10 f8 00 fb'))).toStrictEqual([
      { kind: 'pulse', time: 0 },
      { kind: 'pulse', time: 3 },
      { kind: 'place', units: 16, time: 4 },
      { kind: 'continue', time: 5 },
    ]);
  });

  it('reads every place that fourteen bits can say', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 0x3fff }), (units) => {
        expect(told([0xf2, units % 128, Math.floor(units / 128)])).toStrictEqual([`place ${units}`]);
      }),
    );
  });

  const message = fc.oneof(
    fc.tuple(fc.integer({ min: 0x80, max: 0xbf }), fc.nat({ max: 127 }), fc.nat({ max: 127 })),
    fc.tuple(fc.integer({ min: 0xc0, max: 0xdf }), fc.nat({ max: 127 })),
    fc.tuple(fc.constant(0xf2), fc.nat({ max: 127 }), fc.nat({ max: 127 })),
    fc.array(fc.nat({ max: 127 }), { maxLength: 6 }).map((data) => [0xf0, ...data, 0xf7]),
  );

  it('hears the same wherever real-time messages fall', () => {
    const realtime = fc.record({ at: fc.nat(), byte: fc.constantFrom(0xf8, 0xfa, 0xfb, 0xfc, 0xfe) });
    fc.assert(
      fc.property(fc.array(message), fc.array(realtime), (messages, among) => {
        const plain = messages.flat();
        const mixed = [...plain];
        // Put in from behind, so that the places before stay what they are.
        const placed = among
          .map(({ at, byte }) => ({ at: at % (plain.length + 1), byte }))
          .sort((one, other) => other.at - one.at);
        for (const { at, byte } of placed) mixed.splice(at, 0, byte);
        const places = (of: readonly number[]): string[] => told(of).filter((one) => one.startsWith('place'));
        expect(places(mixed)).toStrictEqual(places(plain));
        expect(places(plain)).toHaveLength(messages.filter(([status]) => status === 0xf2).length);
        expect(told(mixed)).toHaveLength(
          places(plain).length + among.filter(({ byte }) => byte !== 0xfe).length,
        );
      }),
    );
  });

  it('answers any bytes with places that there are, in the order of time', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        const events = heard([...bytes]);
        const units = events.flatMap((event) => (event.kind === 'place' ? [event.units] : []));
        expect(units.filter((one) => one < 0 || one > 0x3fff)).toStrictEqual([]);
        const times = events.map(({ time }) => time);
        expect(times).toStrictEqual([...times].sort((one, other) => one - other));
        expect(events.filter(({ kind }) => kind === 'pulse')).toHaveLength(
          bytes.filter((byte) => byte === 0xf8).length,
        );
      }),
    );
  });
});

describe('Stamps', () => {
  /** Stamps of messages, given the ms that the driver counts since the one before and when each is seen. */
  function stamped(rows: readonly (readonly [sinceLast: number, seen: number])[]): number[] {
    const stamps = new Stamps();
    return rows.map(([sinceLast, seen]) => stamps.of(sinceLast, seen));
  }

  it.each<[string, [number, number][], number[]]>([
    ['the first counts from when it is seen', [[0, 1000]], [1000]],
    ['whatever the driver says of it', [[5000, 1000]], [1000]],
    [
      'the driver’s count holds for what is seen late',
      [
        [0, 1000],
        [20, 1020],
        [20, 1047],
        [20, 1061],
      ],
      [1000, 1020, 1040, 1060],
    ],
    [
      'none has come after it was seen',
      [
        [0, 1000],
        [20, 1015],
        [20, 1040],
      ],
      [1000, 1015, 1035],
    ],
    [
      'a count that falls far behind is given up',
      [
        [0, 1000],
        [20, 1120],
        [20, 1140],
      ],
      [1000, 1120, 1140],
    ],
  ])('%s', (_, rows, expected) => {
    expect(stamped(rows)).toStrictEqual(expected);
  });

  it('is never later than the message was seen, and never goes back', () => {
    const row = fc.tuple(between(0, 200), between(0, 200));
    fc.assert(
      fc.property(fc.array(row, { maxLength: 50 }), (rows) => {
        let now = 5000;
        const seen = rows.map(([sinceLast, passed]) => {
          now += passed;
          return [sinceLast, now] as const;
        });
        const times = stamped(seen);
        times.forEach((time, index) => {
          expect(time).toBeLessThanOrEqual(seen[index]?.[1] ?? 0);
          expect(time).toBeGreaterThanOrEqual(times[index - 1] ?? 0);
        });
      }),
    );
  });

  it('is as true as the message that was seen most promptly', () => {
    const delays = fc.array(between(0, 25), { minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(delays, fc.constantFrom(10, 500 / 24, 41.7), (late, interval) => {
        const times = stamped(late.map((delay, index) => [interval, 1000 + index * interval + delay]));
        times.forEach((time, index) => {
          const least = Math.min(...late.slice(0, index + 1));
          expect(time - (1000 + index * interval)).toBeCloseTo(least, 6);
        });
      }),
    );
  });
});
