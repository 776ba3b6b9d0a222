import { describe, expect, it } from 'vitest';
import { dataBytes, RawWire } from '../../../src/player/outputs/raw-wire.js';

const messages = Buffer.from([
  ...[0x90, 60, 90],
  ...[0x90, 62, 90],
  ...[0xf8, 0, 0],
  ...[0x90, 64, 90],
  ...[0xf2, 3, 4],
  ...[0x90, 65, 90],
  ...[0xc1, 5, 0],
  ...[0xc1, 6, 0],
]);

describe('RawWire', () => {
  it('leaves a status out that is the one before, on a wire (MIDI 1.0, running status)', () => {
    expect([...new RawWire(16, true).encode(messages)]).toStrictEqual([
      ...[0x90, 60, 90, 62, 90, 0xf8, 64, 90],
      // Song position ends it.
      ...[0xf2, 3, 4, 0x90, 65, 90, 0xc1, 5, 6],
    ]);
  });

  it('gives every message its status where others may write as well', () => {
    expect([...new RawWire(16, false).encode(messages)]).toStrictEqual([
      ...[0x90, 60, 90, 0x90, 62, 90, 0xf8, 0x90, 64, 90],
      ...[0xf2, 3, 4, 0x90, 65, 90, 0xc1, 5, 0xc1, 6],
    ]);
  });

  it('begins with a status again after it was told to forget', () => {
    const wire = new RawWire(4, true);
    const one = Buffer.from([0x90, 60, 90]);
    expect([...wire.encode(one)]).toStrictEqual([0x90, 60, 90]);
    expect([...wire.encode(one)]).toStrictEqual([60, 90]);
    wire.forget();
    expect([...wire.encode(one)]).toStrictEqual([0x90, 60, 90]);
  });
});

describe('dataBytes', () => {
  it.each([
    [0x80, 2],
    [0x9f, 2],
    [0xb0, 2],
    [0xc0, 1],
    [0xdf, 1],
    [0xe0, 2],
    [0xf1, 1],
    [0xf2, 2],
    [0xf3, 1],
    [0xf8, 0],
    [0xfc, 0],
  ])('of %i are %i', (status, count) => {
    expect(dataBytes(status)).toBe(count);
  });
});
