import type { Topic } from './link.js';
import { mostBytesOf } from './messages.js';

/*
 * Where on the band's part of a broker each message stands. The second level is always the id of the stand that publishes there, so that
 * a broker can confine everybody to what is theirs by that level alone.
 *
 *     lead/ID/claim    who leads, and in which term      kept for those who join later
 *     lead/ID/song     the chart itself                  kept
 *     lead/ID/set      the running order                 kept
 *     lead/ID/now      setup, place, time, form          kept
 *     lead/ID/notes    notes for all                     kept
 *     lead/ID/away     who is turned away                kept
 *     lead/ID/clock/TO the answer to a clock's question
 *     lead/ID/noted/TO the answer to a request
 *     clock/ID         a clock's question, for the leader alone
 *     who/ID           name and part of a stand          kept; goodbye when it leaves, by itself or by the broker
 *     talk/ID          a caller's word
 *     request/ID       a song that is asked for, for the leader alone
 *     result/ID        a pass of a student, for the leader alone
 */

/** What the leader publishes, by its last level. */
export const leaderKinds = ['claim', 'song', 'set', 'now', 'notes', 'away'] as const;
/** What the leader says to one stand alone, by the level before that stand's id. */
const forOne = ['clock', 'noted'] as const;
/** What only the leader reads. */
const forLeader = ['clock', 'request', 'result'];
/** What every stand reads of every other. */
const forAll = ['who', 'talk'];

/** Where the leader publishes one of its kinds. */
export const leadTopic = (id: string, kind: (typeof leaderKinds)[number]): Topic => ['lead', id, kind];
/** Where a stand finds the answers to its clock's questions; published there by the leader. */
export const answerTopic = (leader: string, to: string): Topic => ['lead', leader, 'clock', to];
/** Where a stand finds that its request was heard; published there by the leader. */
export const notedTopic = (leader: string, to: string): Topic => ['lead', leader, 'noted', to];
/** Where a stand asks the leader's clock. */
export const clockTopic = (id: string): Topic => ['clock', id];
/** Where a stand says who it is. */
export const whoTopic = (id: string): Topic => ['who', id];
/** Where a stand's words are. */
export const talkTopic = (id: string): Topic => ['talk', id];
/** Where a stand asks for a song. */
export const requestTopic = (id: string): Topic => ['request', id];
/** Where a student's passes are. */
export const resultTopic = (id: string): Topic => ['result', id];

/** What every stand subscribes to. */
export function standTopics(id: string): readonly Topic[] {
  return [
    ...leaderKinds.map((kind): Topic => ['lead', '+', kind]),
    ...forOne.map((kind): Topic => ['lead', '+', kind, id]),
    ...forAll.map((kind): Topic => [kind, '+']),
  ];
}

/** What the leader subscribes to beside that. */
export function leaderTopics(): readonly Topic[] {
  return forLeader.map((kind): Topic => [kind, '+']);
}

/** Who a stand is to a topic: the leader; the one whose id stands in it; the one it is for; anybody else. */
export type TopicRole = 'leader' | 'owner' | 'addressee' | 'other';

/** Who may do what at a broker that can confine its clients. */
export interface TopicAccess {
  /** `$id` stands for the id of the stand whose topic it is, `$to` for that of the one it is for. */
  readonly topic: Topic;
  readonly write: readonly TopicRole[];
  readonly read: readonly TopicRole[];
  /** Whether the last one is kept for those who come later. */
  readonly retain: boolean;
  /** How long a payload may be, bytes. */
  readonly most: number;
}

/** All topics there are. */
export const bandTopics: readonly TopicAccess[] = [
  ...leaderKinds.map(
    (kind): TopicAccess => ({
      topic: ['lead', '$id', kind],
      // Who leads is decided by claims, which all may make; anything else there counts only where the claim holds.
      write: ['owner'],
      read: ['leader', 'owner', 'other'],
      retain: true,
      most: mostBytesOf(kind),
    }),
  ),
  ...forOne.map(
    (kind): TopicAccess => ({
      topic: ['lead', '$id', kind, '$to'],
      write: ['owner'],
      read: ['addressee'],
      retain: false,
      most: mostBytesOf(kind === 'clock' ? 'answer' : 'noted'),
    }),
  ),
  ...forLeader.map(
    (kind): TopicAccess => ({
      topic: [kind, '$id'],
      write: ['owner'],
      read: ['leader'],
      retain: false,
      most: mostBytesOf('request'),
    }),
  ),
  ...forAll.map(
    (kind): TopicAccess => ({
      topic: [kind, '$id'],
      write: ['owner'],
      read: ['leader', 'owner', 'other'],
      retain: kind === 'who',
      most: mostBytesOf(kind === 'who' ? 'hello' : 'talk'),
    }),
  ),
];
