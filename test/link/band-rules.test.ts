import { describe, expect, it } from 'vitest';
import type { Topic } from '../../src/band/link.js';
import { bandTopics, leaderTopics, standTopics, type TopicRole } from '../../src/band/topics.js';
import { bandRules } from '../../src/link/band-rules.js';
import { isAllowed, ruleFor } from '../../src/link/broker/rules.js';
import { newSeat } from '../../src/link/seat.js';

const [owner, addressee, leader, other] = [newSeat().id, newSeat().id, newSeat().id, newSeat().id];

/** A topic of the band, with a stand in the place of each name. */
const named = (topic: Topic): Topic =>
  topic.map((level) => (level === '$id' ? owner : level === '$to' ? addressee : level));

/** What the band's own list of topics lets a stand do. */
function mayByBand(roles: readonly TopicRole[], id: string, leads: string): boolean {
  const own: TopicRole[] = ['other'];
  if (id === owner) own.push('owner');
  if (id === addressee) own.push('addressee');
  if (id === leads) own.push('leader');
  return own.some((role) => roles.includes(role));
}

describe('what our broker lets through', () => {
  const cases = bandTopics.map((rule) => ({ where: rule.topic.join('/'), rule }));

  it.each(cases)('is what the band says of $where, for whoever it is and whoever leads', ({ rule }) => {
    const topic = named(rule.topic);
    const found = ruleFor(bandRules, topic);
    expect(found).toBeDefined();
    if (!found) return;
    for (const leads of [leader, owner, addressee, other])
      for (const id of [owner, addressee, leader, other]) {
        const broker = (what: 'read' | 'write'): boolean => isAllowed(found[what], found, topic, id, leads);
        expect([broker('write'), broker('read')]).toStrictEqual([
          mayByBand(rule.write, id, leads),
          mayByBand(rule.read, id, leads),
        ]);
      }
    expect([found.retain, found.most >= rule.most]).toStrictEqual([rule.retain, true]);
  });

  it('is nothing that the band does not know', () => {
    const known = (topic: Topic): string => topic.join('/');
    const places = bandRules.map((rule) => known(rule.topic)).sort();
    expect(places).toStrictEqual(bandTopics.map((rule) => known(rule.topic)).sort());
  });

  it('is all that a stand or a leader subscribes to', () => {
    for (const topic of [...standTopics(owner), ...leaderTopics()])
      expect(ruleFor(bandRules, topic)).toBeDefined();
  });
});
