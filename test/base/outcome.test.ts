import { describe, expect, it } from 'vitest';
import { good, misread, type Outcome } from '../../src/base/outcome.js';

describe('outcome', () => {
  it('wraps a value', () => {
    expect(good(7)).toStrictEqual({ ok: true, value: 7 });
    expect(good(null)).toStrictEqual({ ok: true, value: null });
  });

  it('wraps a fault with its offset, by default the start', () => {
    expect(misread('no key')).toStrictEqual({ ok: false, fault: { at: 0, message: 'no key' } });
    expect(misread('no mark', 3)).toStrictEqual({ ok: false, fault: { at: 3, message: 'no mark' } });
  });

  it('tells a value and a fault apart by `ok`', () => {
    const half = (whole: number): Outcome<number> =>
      whole % 2 === 0 ? good(whole / 2) : misread(`${whole} is odd`);
    const told = [4, 5].map((whole) => {
      const outcome = half(whole);
      return outcome.ok ? outcome.value : outcome.fault.message;
    });
    expect(told).toStrictEqual([2, '5 is odd']);
  });
});
