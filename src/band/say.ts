import { askedNow, asksDueAt, withAsk } from './asks.js';
import { type Band, type BandStep, leaderId, leads, type Publish, type SharedSet, steps } from './band.js';
import { type Claims, claimSent, layDown as laidDown, takeLead } from './claims.js';
import type { Topic } from './link.js';
import type { Message, MessageOf } from './messages.js';
import { bandVersion } from './messages.js';
import type { PartName } from './parts.js';
import type { TalkWord } from './talk.js';
import {
  leaderKinds,
  leaderTopics,
  leadTopic,
  requestTopic,
  resultTopic,
  talkTopic,
  whoTopic,
} from './topics.js';
import { encode } from './wire.js';

/** The content of a message, without its sender and number. */
export type Said = Message extends infer M
  ? M extends Message
    ? Omit<M, 'v' | 'from' | 'seq'>
    : never
  : never;

/** A message of this stand, numbered, under a topic. Nothing is said before the link was up. */
export function said(
  band: Band,
  topic: (id: string) => Topic,
  what: Said,
  retain: boolean,
  qos: 0 | 1 = 1,
): BandStep {
  const { id } = band;
  if (id === null) return { band, publishes: [], subscribes: [], events: [] };
  const seq = band.seq + 1;
  const message = { v: bandVersion, from: id, seq, ...what } as Message;
  const publish: Publish = { topic: topic(id), payload: encode(message), retain, qos };
  return { band: { ...band, seq }, publishes: [publish], subscribes: [], events: [] };
}

/** The same of a leader: whatever it says renews its claim. */
export function ledSaid(
  band: Band,
  kind: 'claim' | 'song' | 'set' | 'now' | 'notes' | 'away',
  what: Said,
  at: number,
): BandStep {
  const step = said(band, (id) => leadTopic(id, kind), what, true);
  const { claims } = step.band;
  return claims ? { ...step, band: { ...step.band, claims: claimSent(claims, at) } } : step;
}

/** The term of the own lead; 0 where there is none. */
export function termOf({ claims }: Band): number {
  return claims?.best?.term ?? 0;
}

/** Who this stand is: said when the link is up, and when its name or part is another. */
export function hello(band: Band): BandStep {
  const { name, part } = band;
  return said(band, whoTopic, { kind: 'hello', name, part }, true);
}

/** What the broker should say for a stand that can say nothing any more: to be given to the link when it is opened. */
export function will(id: string): Publish {
  const message: MessageOf<'goodbye'> = { v: bandVersion, from: id, seq: 1, kind: 'goodbye' };
  return { topic: whoTopic(id), payload: encode(message), retain: true, qos: 0 };
}

/** This stand leaves. A leader gives up the lead first. */
export function goodbye(band: Band, at: number): BandStep {
  const laid = layDown(band, at);
  const left = said(laid.band, whoTopic, { kind: 'goodbye' }, true);
  return { ...left, publishes: [...laid.publishes, ...left.publishes] };
}

/** This stand takes the lead, whoever has it: everything is sent again. */
export function lead(band: Band, at: number): BandStep {
  if (!band.claims || leads(band)) return { band, publishes: [], subscribes: [], events: [] };
  const claims = takeLead(band.claims, at);
  // What is being followed goes on under the same name and with the same ticks, so that nobody else notices.
  const { take, shift } = band.follower;
  const led = take === null ? band.led : { take, shift };
  const shared =
    band.shared.set === null ? { ...band.shared, set: band.set, notes: band.notes } : band.shared;
  const next: Band = {
    ...band,
    claims,
    led,
    wasRunning: take !== null || band.wasRunning,
    told: null,
    toldSong: null,
    alone: false,
    shared,
  };
  const step = claimed(next, at);
  return { ...step, subscribes: leaderTopics() };
}

/** The own claim, said. */
export function claimed(band: Band, at: number, gone = false): BandStep {
  return ledSaid(
    band,
    'claim',
    { kind: 'claim', term: termOf(band), name: band.name, gone, isClass: band.isClass },
    at,
  );
}

/** This stand gives up the lead. */
export function layDown(band: Band, at: number): BandStep {
  const { claims } = band;
  if (!claims || claims.role === 'follows') return { band, publishes: [], subscribes: [], events: [] };
  const step = steps(claimed(band, at, true), (now) => takenBack(now, ledKinds));
  return { ...step, band: { ...step.band, claims: laidDown(step.band.claims as Claims) } };
}

/** A caller's word, for all. */
export function talk(band: Band, word: TalkWord, part: PartName | null = null): BandStep {
  return said(band, talkTopic, { kind: 'talk', word, part: word === 'break' ? part : null }, false);
}

/** A song is asked for. It is said as soon as there is a leader (`asksSaid`), and until that has heard it. */
export function request(band: Band, title: string): BandStep {
  const asked = band.asked + 1;
  return quietly({ ...band, asked, asks: withAsk(band.asks, asked, title.slice(0, 200)) });
}

/** Requests that must be sent now. */
export function asksSaid(band: Band, at: number): BandStep {
  const leader = leaderId(band);
  if (leader === null || leader === band.id || !band.up || at < asksDueAt(band.asks, leader))
    return quietly(band);
  const { say, asks } = askedNow(band.asks, leader, at);
  return steps(
    quietly({ ...band, asks }),
    ...say.map(
      ({ ask, title }) =>
        (now: Band) =>
          said(now, requestTopic, { kind: 'request', ask, title }, false),
    ),
  );
}

/** A pass of a student, for the teacher alone. */
export function result(band: Band, pass: number, line: string): BandStep {
  return said(band, resultTopic, { kind: 'result', pass, line: line.slice(0, 200) }, false);
}

/** The leader shares a running order. */
export function shareSet(band: Band, set: SharedSet, at: number): BandStep {
  const next = { ...band, shared: { ...band.shared, set } };
  return leads(next) ? ledSaid(next, 'set', { kind: 'set', term: termOf(next), ...set }, at) : quietly(next);
}

/** The leader has notes for all. */
export function shareNotes(band: Band, lines: readonly string[], at: number): BandStep {
  const next = { ...band, shared: { ...band.shared, notes: lines } };
  return leads(next)
    ? ledSaid(next, 'notes', { kind: 'notes', term: termOf(next), lines: [...lines] }, at)
    : quietly(next);
}

/** The leader turns somebody away. */
export function turnAway(band: Band, id: string, at: number): BandStep {
  if (!leads(band) || band.shared.away.includes(id)) return quietly(band);
  const away = [...band.shared.away, id];
  const next = { ...band, shared: { ...band.shared, away } };
  return ledSaid(next, 'away', { kind: 'away', term: termOf(next), ids: away }, at);
}

/** What a leader says beside its claim. */
const ledKinds = leaderKinds.filter((kind) => kind !== 'claim');

/** A stand that no longer leads withdraws what the broker keeps of its lead: a stand that comes later hears of the present leader alone. */
export function takenBack(
  band: Band,
  kinds: readonly (typeof leaderKinds)[number][] = leaderKinds,
): BandStep {
  const { id } = band;
  if (id === null) return quietly(band);
  const publishes = kinds.map(
    (kind): Publish => ({
      topic: leadTopic(id, kind),
      payload: new Uint8Array(),
      retain: true,
      qos: 1,
    }),
  );
  return { ...quietly(band), publishes };
}

/** Everything that a leader shares beside the music: for those who hear of it first. */
export function sharedAgain(band: Band, at: number): readonly ((band: Band) => BandStep)[] {
  const { set, notes, away } = band.shared;
  return [
    (now) =>
      set
        ? ledSaid(now, 'set', { kind: 'set', term: termOf(now), ...set, songs: [...set.songs] }, at)
        : quietly(now),
    (now) =>
      notes.length > 0
        ? ledSaid(now, 'notes', { kind: 'notes', term: termOf(now), lines: [...notes] }, at)
        : quietly(now),
    (now) =>
      away.length > 0
        ? ledSaid(now, 'away', { kind: 'away', term: termOf(now), ids: [...away] }, at)
        : quietly(now),
  ];
}

function quietly(band: Band): BandStep {
  return { band, publishes: [], subscribes: [], events: [] };
}
