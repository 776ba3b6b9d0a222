import { describe, expect, it } from 'vitest';
import { Attempts, addressKey } from '../../src/link/broker/attempts.js';
import { Bucket } from '../../src/link/broker/bucket.js';

const second = 1000;

describe('Attempts', () => {
  it('makes an address wait after five wrong words within a minute, longer each time', () => {
    const attempts = new Attempts();
    const wrong = (at: number): void => {
      for (let turn = 0; turn < 5; turn += 1) attempts.wrong('192.0.2.7', at);
    };
    for (let turn = 0; turn < 4; turn += 1) attempts.wrong('192.0.2.7', 0);
    expect(attempts.mayTry('192.0.2.7', 0)).toBe(true);
    attempts.wrong('192.0.2.7', 0);
    expect(attempts.mayTry('192.0.2.7', 29 * second)).toBe(false);
    expect(attempts.mayTry('192.0.2.8', 0)).toBe(true);
    expect(attempts.mayTry('192.0.2.7', 30 * second)).toBe(true);
    wrong(30 * second);
    expect(attempts.mayTry('192.0.2.7', 89 * second)).toBe(false);
    expect(attempts.mayTry('192.0.2.7', 90 * second)).toBe(true);
    for (let at = 90 * second, turn = 0; turn < 12; turn += 1) {
      wrong(at);
      at += 15 * 60 * second;
      expect(attempts.mayTry('192.0.2.7', at)).toBe(true);
    }
  });

  it('forgives somebody who errs now and then', () => {
    const attempts = new Attempts();
    for (let turn = 0; turn < 50; turn += 1) attempts.wrong('192.0.2.7', turn * 16 * second);
    expect(attempts.mayTry('192.0.2.7', 50 * 16 * second)).toBe(true);
  });

  it('counts all addresses together, and lets only those try on that have joined', () => {
    const attempts = new Attempts();
    attempts.right('192.0.2.7', 0);
    for (let turn = 0; turn < 60; turn += 1) attempts.wrong(`10.0.0.${turn}`, second);
    expect(attempts.mayTry('198.51.100.1', 2 * second)).toBe(false);
    expect(attempts.mayTry('192.0.2.7', 2 * second)).toBe(true);
    expect(attempts.mayTry('198.51.100.1', 62 * second)).toBe(true);
  });

  it('bounds how many words can be tried in a day, whatever the addresses', () => {
    const attempts = new Attempts();
    let tried = 0;
    for (let at = 0; at < 3600 * second; at += 100)
      if (attempts.mayTry(`10.${(at >> 16) & 255}.${(at >> 8) & 255}.${at & 255}`, at)) {
        attempts.wrong(`10.${(at >> 16) & 255}.${(at >> 8) & 255}.${at & 255}`, at);
        tried += 1;
      }
    expect(tried).toBeGreaterThan(3000);
    expect(tried).toBeLessThanOrEqual(60 * 61);
  });
});

it.each([
  ['192.0.2.7', '192.0.2.7'],
  ['::ffff:192.0.2.7', '192.0.2.7'],
  ['2001:db8:1:2:3:4:5:6', '2001:db8:1:2::/64'],
  ['2001:db8:1:2::1', '2001:db8:1:2::/64'],
  ['2001:db8::1', '2001:db8:0:0::/64'],
  ['fe80::1%eth0', 'fe80:0:0:0::/64'],
  ['::1', '0:0:0:0::/64'],
])('takes %s for %s', (address, key) => {
  expect(addressKey(address)).toBe(key);
});

it('lets so much through a second in the long run, and so much at once', () => {
  const bucket = new Bucket({ perSecond: 10, atOnce: 20 });
  const taken = (at: number, tries: number): number =>
    Array.from({ length: tries }, () => bucket.take(1, at)).filter(Boolean).length;
  expect(taken(0, 20)).toBe(20);
  expect(taken(100, 1)).toBe(1);
  expect(taken(100_000, 20)).toBe(20);
});
