import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ChannelReader } from '../../../src/player/inputs/channel-reader.js';

function read(...bytes: number[]): string[] {
  const found: string[] = [];
  const reader = new ChannelReader((status, data1, data2) =>
    found.push(`${status.toString(16)} ${data1} ${data2}`),
  );
  bytes.forEach((value, at) => {
    reader.byte(value, at);
  });
  return found;
}

describe('ChannelReader', () => {
  // The MIDI 1.0 specification's own examples of running status and of real time between the bytes of a message.
  it.each([
    ['a controller', [0xb0, 64, 127], ['b0 64 127']],
    ['running status', [0x90, 60, 100, 60, 0, 62, 90], ['90 60 100', '90 60 0', '90 62 90']],
    ['programs, which have one byte', [0xc3, 5, 6], ['c3 5 0', 'c3 6 0']],
    ['a clock within a message', [0xb0, 0xf8, 64, 0xf8, 127, 0xfe], ['b0 64 127']],
    ['exclusive bytes, and data behind them', [0xf0, 1, 2, 3, 0xf7, 5, 6, 0xb0, 7, 8], ['b0 7 8']],
    ['a message that is broken off', [0xb0, 64, 0x90, 60, 1], ['90 60 1']],
    ['a song position, which ends running status', [0xb0, 1, 2, 0xf2, 3, 4, 5, 6], ['b0 1 2']],
    ['data without a status', [1, 2, 3], []],
  ])('reads %s', (_, bytes, messages) => {
    expect(read(...bytes)).toEqual(messages);
  });

  it('never makes an invalid message', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        for (const message of read(...bytes)) {
          const [status = '', data1 = '', data2 = ''] = message.split(' ');
          expect(Number.parseInt(status, 16)).toBeGreaterThanOrEqual(0x80);
          expect(Number.parseInt(status, 16)).toBeLessThan(0xf0);
          expect(Math.max(Number(data1), Number(data2))).toBeLessThan(0x80);
        }
      }),
    );
  });
});
