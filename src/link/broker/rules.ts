import type { Topic } from '../../band/link.js';
import { isId } from '../seat.js';

/** Who somebody is to a topic: the stand that leads; the one whose topic it is; the one it is for; anybody in the band. */
export type Role = 'leader' | 'owner' | 'addressee' | 'anyone';

/** What our own broker lets through. A topic without a rule does not exist. */
export interface TopicRule {
  /** The levels; `$id` stands for the id of the stand whose topic it is, `$to` for that of the one it is for. */
  readonly topic: Topic;
  readonly write: readonly Role[];
  readonly read: readonly Role[];
  /** Whether the broker may keep the last one for those who come later. */
  readonly retain: boolean;
  /** How long a payload may be, bytes, as the band writes it. */
  readonly most: number;
}

/** Stand in a rule for the id of a stand: whose topic it is, and whom it is for. */
export const ownerLevel = '$id';
export const addresseeLevel = '$to';

/** The rule for a topic, or for what is subscribed, where `+` stands for any one level; none: it does not exist. */
export function ruleFor(rules: readonly TopicRule[], topic: Topic): TopicRule | undefined {
  return rules.find(
    (rule) =>
      rule.topic.length === topic.length &&
      rule.topic.every(
        (level, at) => level === topic[at] || (isPlaceholder(level) && isIdOrAny(topic[at] ?? '')),
      ),
  );
}

/** Whether a stand may do what only some roles may. */
export function isAllowed(
  roles: readonly Role[],
  rule: TopicRule,
  topic: Topic,
  id: string,
  leader: string,
): boolean {
  const standsAt = (placeholder: string): boolean =>
    rule.topic.some((level, at) => level === placeholder && topic[at] === id);
  return (
    roles.includes('anyone') ||
    (roles.includes('leader') && id === leader) ||
    (roles.includes('owner') && standsAt(ownerLevel)) ||
    (roles.includes('addressee') && standsAt(addresseeLevel))
  );
}

function isPlaceholder(level: string): boolean {
  return level === ownerLevel || level === addresseeLevel;
}

function isIdOrAny(level: string): boolean {
  return level === '+' || isId(level);
}
