import type { Topic } from '../../band/link.js';
import { isId } from '../seat.js';

/** Who somebody is to a topic: the leader; the stand whose id stands in it; anybody else. */
export type Role = 'leader' | 'owner' | 'other';

/** What our own broker lets through. What no rule speaks of does not exist. */
export interface TopicRule {
  /** The levels; `$id` stands for the id of a stand. */
  readonly topic: Topic;
  readonly write: readonly Role[];
  readonly read: readonly Role[];
  /** Whether the broker may keep the last one for those who come later. */
  readonly retain: boolean;
  /** How long a payload may be, bytes, as the band writes it. */
  readonly most: number;
}

/** Stands in a rule for the id of a stand. */
export const anyId = '$id';

/** The rule for a topic, or for what is subscribed, where `+` stands for any one level; none: it does not exist. */
export function ruleFor(rules: readonly TopicRule[], topic: Topic): TopicRule | undefined {
  return rules.find(
    (rule) =>
      rule.topic.length === topic.length &&
      rule.topic.every((level, at) => level === topic[at] || (level === anyId && isIdOrAny(topic[at] ?? ''))),
  );
}

/** What a stand is to a topic. */
export function roleOf(rule: TopicRule, topic: Topic, id: string, leader: string | null): Role {
  if (rule.topic.some((level, at) => level === anyId && topic[at] === id)) return 'owner';
  return id === leader ? 'leader' : 'other';
}

/** Whether a stand may do that: the leader what leaders may or, on a topic of its own, owners. */
export function isAllowed(
  roles: readonly Role[],
  rule: TopicRule,
  topic: Topic,
  id: string,
  leader: string | null,
): boolean {
  return roles.includes(roleOf(rule, topic, id, leader)) || (id === leader && roles.includes('leader'));
}

function isIdOrAny(level: string): boolean {
  return level === '+' || isId(level);
}
