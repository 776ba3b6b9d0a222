import { createHmac, randomBytes } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sealBytes, sealed, unsealed } from '../../src/link/seal.js';

const key = randomBytes(32);
const topic = ['clock', '0123456789abcdef'];
const payload = Buffer.from('four time stamps');

describe('seal', () => {
  it('comes off what was sealed with the same key for the same topic', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 2000 }), (bytes) => {
        const open = unsealed(key, topic, sealed(key, topic, bytes));
        expect(open && Buffer.from(open).equals(Buffer.from(bytes))).toBe(true);
      }),
    );
  });

  it('is HMAC-SHA-256 over topic and payload, cut to sixteen bytes', () => {
    const covered = Buffer.concat([Buffer.from('barkline 1\n2\nclock\n0123456789abcdef\n16\n'), payload]);
    const digest = createHmac('sha256', key).update(covered).digest().subarray(0, 16);
    expect(sealed(key, topic, payload)).toEqual(Buffer.concat([Buffer.from([1]), digest, payload]));
  });

  it('stays on for every single bit that was changed', () => {
    const whole = sealed(key, topic, payload);
    for (let bit = 0; bit < whole.length * 8; bit += 1) {
      const changed = Buffer.from(whole);
      changed[bit >> 3] = (changed[bit >> 3] as number) ^ (1 << (bit & 7));
      expect(unsealed(key, topic, changed)).toBeNull();
    }
  });

  it('stays on for other topics, other keys, and topics that only look alike', () => {
    const whole = sealed(key, topic, payload);
    expect(unsealed(key, ['clock'], whole)).toBeNull();
    expect(unsealed(key, ['clock', 'fedcba9876543210'], whole)).toBeNull();
    expect(unsealed(randomBytes(32), topic, whole)).toBeNull();
    expect(unsealed(key, ['a', 'b'], sealed(key, ['a\nb'], payload))).toBeNull();
  });

  it('stays on for anything else, of any length', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        expect(unsealed(key, topic, bytes)).toBeNull();
      }),
    );
    expect(unsealed(key, topic, sealed(key, topic, payload).subarray(0, sealBytes - 1))).toBeNull();
  });
});
