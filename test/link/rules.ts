import { ownerLevel, type TopicRule } from '../../src/link/broker/rules.js';

const all = ['anyone'] as const;

/** Rules of the kinds that a band has: for all from the leader, from one to the leader, and back. */
export const rules: readonly TopicRule[] = [
  { topic: ['state'], write: ['leader'], read: all, retain: true, most: 1 << 20 },
  { topic: ['here', ownerLevel], write: ['owner'], read: all, retain: true, most: 1024 },
  { topic: ['ask', ownerLevel], write: ['owner'], read: ['leader'], retain: false, most: 1024 },
  { topic: ['tell', ownerLevel], write: ['leader'], read: ['owner'], retain: false, most: 1024 },
];
