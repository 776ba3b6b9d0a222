import { describe, expect, it } from 'vitest';
import { newBand, steps } from '../../src/band/band.js';
import { bandHeard } from '../../src/band/hear.js';
import type { Topic } from '../../src/band/link.js';
import { lead } from '../../src/band/say.js';
import { leadTopic } from '../../src/band/topics.js';
import { claimSeen } from '../../src/link/who-leads.js';

const claim = (id: string, term: unknown, gone: unknown = false): [Topic, Uint8Array] => [
  leadTopic(id, 'claim'),
  Buffer.from(JSON.stringify({ v: 1, from: id, seq: 1, kind: 'claim', term, name: 'x', gone })),
];

describe('claimSeen', () => {
  it('knows the claim that a stand of the band makes', () => {
    const up = bandHeard(newBand({ name: 'Ansa', part: 'bass' }), { kind: 'up', id: 'a1' }, 0);
    const said = steps(up, (band) => lead(band, 0)).publishes;
    const seen = said.reduce<ReturnType<typeof claimSeen>>(
      (before, { topic, payload }) => claimSeen(before, topic, payload),
      null,
    );
    expect(seen).toEqual({ term: 1, id: 'a1' });
  });

  it('has the higher term win, then the lower id, whatever comes first', () => {
    const first = claimSeen(null, ...claim('b', 2));
    expect(claimSeen(first, ...claim('c', 2))).toEqual({ term: 2, id: 'b' });
    expect(claimSeen(first, ...claim('a', 2))).toEqual({ term: 2, id: 'a' });
    expect(claimSeen(first, ...claim('z', 3))).toEqual({ term: 3, id: 'z' });
    expect(claimSeen(first, ...claim('a', 1))).toEqual({ term: 2, id: 'b' });
  });

  it('forgets a claim that is laid down, and takes the next whatever its term', () => {
    const first = claimSeen(null, ...claim('b', 2));
    expect(claimSeen(first, ...claim('a', 2, true))).toEqual({ term: 2, id: 'b' });
    const none = claimSeen(first, ...claim('b', 2, true));
    expect(none).toBeNull();
    expect(claimSeen(none, ...claim('c', 1))).toEqual({ term: 1, id: 'c' });
  });

  it.each<[string, Topic, Uint8Array]>([
    ['another kind', leadTopic('z', 'now'), claim('z', 9)[1]],
    ['no JSON', leadTopic('z', 'claim'), Buffer.from('{"term":9')],
    ['no object', leadTopic('z', 'claim'), Buffer.from('null')],
    ['a term that is not a number', ...claim('z', '9')],
    ['a term that is not a whole number', ...claim('z', 9.5)],
    ['too much', leadTopic('z', 'claim'), Buffer.from(`{"term":9,"x":"${'x'.repeat(5000)}"}`)],
  ])('leaves out %s', (_what, topic, payload) => {
    expect(claimSeen({ term: 1, id: 'a' }, topic, payload)).toEqual({ term: 1, id: 'a' });
  });
});
