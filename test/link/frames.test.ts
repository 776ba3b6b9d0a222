import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FrameWatch } from '../../src/link/frames.js';
import { packet } from './packets.js';

describe('FrameWatch', () => {
  it('counts packets, however they are cut into pieces', () => {
    fc.assert(
      fc.property(
        fc.array(fc.nat({ max: 20_000 }), { maxLength: 12 }),
        fc.array(fc.integer({ min: 1, max: 700 }), { minLength: 1 }),
        (lengths, pieces) => {
          const bytes = Buffer.concat(lengths.map((length) => packet(0x30, Buffer.alloc(length, 0xff))));
          const watch = new FrameWatch(20_000);
          for (let at = 0, turn = 0; at < bytes.length; turn += 1) {
            const piece = bytes.subarray(at, at + (pieces[turn % pieces.length] as number));
            expect(watch.look(piece)).toBe(true);
            at += piece.length;
          }
          expect(watch.frames).toBe(lengths.length);
        },
      ),
    );
  });

  it('stops at a packet that says that it is too large, by its head alone', () => {
    const watch = new FrameWatch(1000);
    expect(watch.look(packet(0x30, Buffer.alloc(1000)))).toBe(true);
    expect(watch.look(packet(0x30, Buffer.alloc(0), 1001))).toBe(false);
    expect(new FrameWatch(1000).look(Buffer.from([0x30, 0xff, 0xff, 0xff, 0xff]))).toBe(false);
    expect(new FrameWatch(300_000_000).look(Buffer.from([0x30, 0xff, 0xff, 0xff, 0x80]))).toBe(false);
  });
});
