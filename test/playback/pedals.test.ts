import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bounceMs,
  learned,
  longMs,
  noPedals,
  type Pedal,
  type PedalBoard,
  parsePedal,
  pedalHeard,
  pedalMessage,
  pedalsDue,
  pedalsDueAt,
  pedalText,
  pedalUses,
} from '../../src/playback/pedals.js';

function pedal(use: Pedal['use'], text: string): Pedal {
  const read = parsePedal(text);
  if (!read.ok) throw new Error(read.fault.message);
  return { use, ...read.value };
}

const board = (...known: Pedal[]): PedalBoard => ({ ...noPedals, known });

/** Messages at times, and looks at the clock between them: when each use was wished for. */
function pressed(
  start: PedalBoard,
  ...messages: (readonly [at: number, status: number, data1: number, data2: number] | readonly [at: number])[]
): string[] {
  let current = start;
  const uses: string[] = [];
  for (const [at, status, data1 = 0, data2 = 0] of messages) {
    const due = pedalsDue(current, at);
    uses.push(...due.uses.map((use) => `${use} at ${at}`));
    current = due.board;
    const message = status === undefined ? null : pedalMessage(status, data1, data2);
    if (!message) continue;
    const heard = pedalHeard(current, message, at);
    uses.push(...heard.uses.map((use) => `${use} at ${at}`));
    current = heard.board;
  }
  return uses;
}

describe('pedalMessage', () => {
  // MIDI 1.0: controllers 64 to 69 are switches, below 64 off, from 64 on; note-on with velocity 0 is note-off; 120 to 127 are modes.
  it.each([
    [0xb0, 64, 127, 'control 64', true],
    [0xb0, 64, 64, 'control 64', true],
    [0xb0, 64, 63, 'control 64', false],
    [0xb3, 20, 0, 'control 20', false],
    [0x90, 60, 1, 'note 60', true],
    [0x90, 60, 0, 'note 60', false],
    [0x80, 60, 64, 'note 60', false],
    [0xc0, 4, 0, 'program 5', true],
  ])('of %i %i %i is %s', (status, data1, data2, text, down) => {
    const message = pedalMessage(status, data1, data2);
    expect(message?.down).toBe(down);
    expect(message && pedalText({ sign: { ...message.sign, channel: null }, long: false })).toBe(text);
    expect(message?.sign.channel).toBe((status & 15) + 1);
  });

  it.each([
    [0xb0, 123, 0],
    [0xe0, 0, 64],
    [0xa0, 60, 1],
    [0xd0, 5, 0],
  ])('of %i %i %i is none', (status, data1, data2) => {
    expect(pedalMessage(status, data1, data2)).toBeNull();
  });
});

describe('a pedal', () => {
  it('does what it is for when it goes down, whatever its channel', () => {
    const known = board(pedal('extend', 'control 64'));
    expect(pressed(known, [0, 0xb0, 64, 127], [300, 0xb0, 64, 0], [900, 0xb5, 64, 127])).toEqual([
      'extend at 0',
      'extend at 900',
    ]);
  });

  it('on a channel of its own is no other', () => {
    const known = board(pedal('extend', 'control 64, channel 2'), pedal('ending', 'control 64, channel 3'));
    expect(pressed(known, [0, 0xb0, 64, 127], [100, 0xb1, 64, 127], [200, 0xb2, 64, 127])).toEqual([
      'extend at 100',
      'ending at 200',
    ]);
  });

  it('whose contact bounces is pressed once', () => {
    const known = board(pedal('next', 'control 80'));
    const bounces = [0, 4, 9, 15, 22].map((at, index) => [at, 0xb0, 80, index % 2 === 0 ? 127 : 0] as const);
    const release = [400, 403, 408, 412].map(
      (at, index) => [at, 0xb0, 80, index % 2 === 0 ? 0 : 127] as const,
    );
    expect(pressed(known, ...bounces, ...release)).toEqual(['next at 0']);
  });

  it('that never says it was let go is pressed each time', () => {
    const known = board(pedal('next', 'control 80'), pedal('play', 'program 3'));
    expect(
      pressed(known, [0, 0xb0, 80, 127], [500, 0xb0, 80, 127], [900, 0xc0, 2, 0], [1400, 0xc0, 2, 0]),
    ).toEqual(['next at 0', 'next at 500', 'play at 900', 'play at 1400']);
  });

  it('with a long use as well does the short one when it is let go, the long one while it is held', () => {
    const known = board(pedal('extend', 'note 60'), pedal('ending', 'note 60, long'));
    expect(pressed(known, [0, 0x90, 60, 100], [200, 0x80, 60, 0])).toEqual(['extend at 200']);
    expect(pressed(known, [0, 0x90, 60, 100], [599], [600], [700], [2000, 0x80, 60, 0])).toEqual([
      'ending at 600',
    ]);
  });

  it('that is held is looked at when it will have been held long enough', () => {
    const known = board(pedal('ending', 'note 60, long'));
    const down = pedalHeard(known, pedalMessage(0x90, 60, 9) as never, 1000).board;
    expect(pedalsDueAt(known)).toBeNull();
    expect(pedalsDueAt(down)).toBe(1000 + longMs);
    expect(pedalsDueAt(pedalsDue(down, 1000 + longMs).board)).toBeNull();
  });

  it('that is not known does nothing', () => {
    expect(pressed(board(pedal('next', 'control 80')), [0, 0xb0, 81, 127], [9, 0x90, 80, 127])).toEqual([]);
  });

  it('bounces for less time than two steps of a foot are apart', () => {
    expect(bounceMs).toBeLessThan(100);
    expect(longMs).toBeGreaterThan(400);
  });
});

describe('what is learned', () => {
  it('takes the place of what the use had, and of what the pedal did', () => {
    const first = [pedal('extend', 'control 64'), pedal('ending', 'control 65')];
    expect(
      learned(first, pedal('extend', 'control 66')).map(({ use, ...one }) => `${use} ${pedalText(one)}`),
    ).toEqual(['ending control 65', 'extend control 66']);
    expect(learned(first, pedal('next', 'control 65')).map(({ use }) => use)).toEqual(['extend', 'next']);
    // Short and long on one pedal stand side by side.
    expect(learned(first, pedal('next', 'control 65, long')).map(({ use }) => use)).toEqual([
      'extend',
      'ending',
      'next',
    ]);
  });
});

describe('parsePedal', () => {
  it('reads what pedalText writes', () => {
    const sign = fc.record({
      kind: fc.constantFrom('control' as const, 'note' as const),
      number: fc.nat(127),
      channel: fc.option(fc.integer({ min: 1, max: 16 })),
    });
    fc.assert(
      fc.property(sign, fc.boolean(), (made, long) => {
        expect(parsePedal(pedalText({ sign: made, long }))).toEqual({
          ok: true,
          value: { sign: made, long },
        });
      }),
    );
  });

  it.each([
    '',
    'control',
    'control 128',
    'program 0',
    'pedal 5',
    'control 5, channel 17',
    'control 5 long',
    'program 4, long',
  ])('refuses “%s” with a sentence', (text) => {
    const read = parsePedal(text);
    expect(read.ok ? '' : read.fault.message).not.toBe('');
  });

  it('never throws', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const read = parsePedal(text);
        expect(!read.ok || read.value.sign.number >= 0).toBe(true);
      }),
    );
  });

  it('has a word for every use', () => {
    expect(new Set(pedalUses).size).toBe(pedalUses.length);
  });
});
