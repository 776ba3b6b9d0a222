import type { Topic } from './link.js';

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
 *     clock/ID         a clock's question, for the leader alone
 *     who/ID           name and part of a stand          kept; goodbye when it leaves, by itself or by the broker
 *     talk/ID          a caller's word
 *     request/ID       a song that is asked for, for the leader alone
 *     result/ID        a pass of a student, for the leader alone
 */

/** What the leader publishes, by its last level. */
export const leaderKinds = ['claim', 'song', 'set', 'now', 'notes', 'away'] as const;
/** What only the leader reads. */
const forLeader = ['clock', 'request', 'result'];
/** What every stand reads of every other. */
const forAll = ['who', 'talk'];

/** Where the leader publishes one of its kinds. */
export const leadTopic = (id: string, kind: (typeof leaderKinds)[number]): Topic => ['lead', id, kind];
/** Where a stand finds the answers to its clock's questions; published there by the leader. */
export const answerTopic = (leader: string, to: string): Topic => ['lead', leader, 'clock', to];
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
    ['lead', '+', 'clock', id],
    ...forAll.map((kind): Topic => [kind, '+']),
  ];
}

/** What the leader subscribes to beside that. */
export function leaderTopics(): readonly Topic[] {
  return forLeader.map((kind): Topic => [kind, '+']);
}

/** Whether a stand may publish there: only where its own id stands. */
export function mayPublish(id: string, topic: Topic): boolean {
  const [kind = '', whose, what = '', ...more] = topic;
  if (whose !== id) return false;
  if (kind === 'lead')
    return what === 'clock' ? more.length === 1 : more.length === 0 && leaderKinds.some((one) => one === what);
  return topic.length === 2 && (forAll.includes(kind) || forLeader.includes(kind));
}

/** Whether a stand may subscribe to a topic, or a filter with `+`; what is for the leader alone only where it `leads`. */
export function maySubscribe(id: string, topic: Topic, leads: boolean): boolean {
  const [kind = '', whose = '', what = '', ...more] = topic;
  if (kind === '+' || whose === '') return false;
  if (kind === 'lead')
    return what === 'clock'
      ? more.length === 1 && more[0] === id
      : more.length === 0 && leaderKinds.some((one) => one === what);
  return topic.length === 2 && (forAll.includes(kind) || (forLeader.includes(kind) && (leads || whose === id)));
}
