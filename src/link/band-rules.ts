import { addresseeLevel, ownerLevel, type Role, type TopicRule } from './broker/rules.js';

const kibibyte = 1024;
/** A chart of 1 MiB as text in JSON, and what stands round it. */
const song = 2 * 1024 * kibibyte + 4096;
const usual = 32 * kibibyte;

/** What a leader tells all, each under its own id: who leads is decided by the stands, from the claims, and may change without the broker. */
const leaderKinds: readonly (readonly [kind: string, most: number])[] = [
  ['claim', usual],
  ['song', song],
  ['set', 512 * kibibyte],
  ['now', usual],
  ['notes', usual],
  ['away', usual],
];

function own(kind: string, read: readonly Role[], retain: boolean): TopicRule {
  return { topic: [kind, ownerLevel], write: ['owner'], read, retain, most: usual };
}

/**
 * The topics of the band, as `band/topics.ts` lists them, and who may write and hear what there: everybody writes only where their own id stands; questions, requests and
 * results are heard by the leader alone, answers by the stand that asked.
 */
export const bandRules: readonly TopicRule[] = [
  ...leaderKinds.map(
    ([kind, most]): TopicRule => ({
      topic: ['lead', ownerLevel, kind],
      write: ['owner'],
      read: ['anyone'],
      retain: true,
      most,
    }),
  ),
  ...['clock', 'noted'].map(
    (kind): TopicRule => ({
      topic: ['lead', ownerLevel, kind, addresseeLevel],
      write: ['owner'],
      read: ['addressee'],
      retain: false,
      most: usual,
    }),
  ),
  own('clock', ['leader'], false),
  own('who', ['anyone'], true),
  own('talk', ['anyone'], false),
  own('request', ['leader'], false),
  own('result', ['leader'], false),
];
