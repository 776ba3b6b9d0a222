import { anyId, type TopicRule } from '../../src/link/broker/rules.js';

const all = ['leader', 'owner', 'other'] as const;

/** Rules of the kinds that a band has: for all from the leader, from one to the leader, and back. */
export const rules: readonly TopicRule[] = [
  { topic: ['state'], write: ['leader'], read: all, retain: true, most: 1 << 20 },
  { topic: ['here', anyId], write: ['owner'], read: all, retain: true, most: 1024 },
  { topic: ['ask', anyId], write: ['owner'], read: ['leader'], retain: false, most: 1024 },
  { topic: ['tell', anyId], write: ['leader'], read: ['owner'], retain: false, most: 1024 },
];
