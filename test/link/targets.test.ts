import { describe, expect, it } from 'vitest';
import type { BrokerAddress } from '../../src/link/address.js';
import type { FoundBand } from '../../src/link/discover/messages.js';
import { givesWay, Targets } from '../../src/link/targets.js';

const address = (host: string, port = 18_830): BrokerAddress => ({
  host,
  port,
  tls: false,
  user: null,
  password: null,
});
const band = (id: string, turn: number, ...hosts: string[]): FoundBand => ({
  tag: '0a1b2',
  name: 'Porch',
  hosts,
  port: 18_830,
  id,
  turn,
});
const hosts = (targets: Targets): string[] => targets.all.map(({ host }) => host);

describe('two brokers of one word', () => {
  it.each([
    [1, 'a', 2, 'b', true],
    [2, 'a', 1, 'b', false],
    [2, 'a', 2, 'b', false],
    [2, 'b', 2, 'a', true],
    [2, 'a', 2, 'a', false],
  ])('of turn %i by %s and turn %i by %s: the first gives way is %s', (turn, id, otherTurn, other, gives) => {
    expect(givesWay({ turn, id }, { turn: otherTurn, id: other })).toBe(gives);
  });

  it('never give way to each other', () => {
    for (const one of [1, 2, 3])
      for (const other of [1, 2, 3])
        expect(givesWay({ turn: one, id: 'a' }, { turn: other, id: 'b' })).toBe(
          !givesWay({ turn: other, id: 'b' }, { turn: one, id: 'a' }),
        );
  });
});

describe('where a band may be', () => {
  it('is tried at the latest broker first, and last at the address that was given', () => {
    const targets = new Targets(address('192.0.2.1'));
    targets.add(band('a', 1, '192.0.2.2'));
    targets.add(band('b', 3, '192.0.2.3', 'fd00::3'));
    expect(hosts(targets)).toEqual(['192.0.2.3', 'fd00::3', '192.0.2.2', '192.0.2.1']);
    expect(targets.turns).toBe(3);
    const tried = Array.from({ length: 5 }, () => targets.next()?.host);
    expect(tried).toEqual(['192.0.2.3', 'fd00::3', '192.0.2.2', '192.0.2.1', '192.0.2.3']);
  });

  it('leaves out brokers that have gone or did not let the stand in', () => {
    const targets = new Targets(null);
    expect(targets.next()).toBeNull();
    targets.add(band('a', 1, '192.0.2.2'));
    targets.add(band('b', 2, '192.0.2.3'));
    targets.refuse(address('192.0.2.3'));
    expect(hosts(targets)).toEqual(['192.0.2.2']);
    targets.remove(band('a', 1, '192.0.2.2'));
    expect(targets.next()).toBeNull();
    expect(targets.turns).toBe(2);
  });

  it('is tried once where the address that was given is also found', () => {
    const targets = new Targets(address('192.0.2.2'));
    targets.add(band('a', 1, '192.0.2.2'));
    expect(hosts(targets)).toEqual(['192.0.2.2']);
  });
});
