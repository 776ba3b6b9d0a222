import { askHeard } from './asks.js';
import { type Band, type BandEvent, type BandStep, leaderId, leads, nameOf, quiet, steps } from './band.js';
import { type Claims, claimHeard, claimSent, holdsClaim, newClaims, standLeft } from './claims.js';
import { answered, hurried, newClock } from './clock.js';
import { firstFollower } from './follower.js';
import { latestOf, taken } from './fresh.js';
import type { LinkEvent } from './link.js';
import type { LeaderMessage, Message, MessageOf } from './messages.js';
import { claimed, hello, said, sharedAgain, takenBack, termOf } from './say.js';
import { songFromSource } from './song.js';
import { talkText } from './talk.js';
import { answerTopic, leaderTopics, notedTopic, standTopics } from './topics.js';
import { decode } from './wire.js';

/** The most stands that are known of: a camp. */
const mostMembers = 1000;

/** This long members are waited for when the link is up again, ms: those whose broker has died too have to find the next one. */
const awaitMs = 8000;

/** This many requests of a stand are known again: more than can wait there (`asks.ts`). */
const mostNoted = 32;

/** Takes in what the link says. `at`: now, ms; a message may have come a little before. Nothing that came changes more than it should, whatever it is. */
export function bandHeard(band: Band, event: LinkEvent, at: number): BandStep {
  const step = heard(band, event, at);
  return steps(step, (now) => leaderNoticed(now, at));
}

function heard(band: Band, event: LinkEvent, at: number): BandStep {
  switch (event.kind) {
    case 'up':
      return up(band, event.id, at);
    case 'down':
      return {
        ...quiet({
          ...band,
          up: false,
          downAt: band.up ? at : band.downAt,
          awaitedUntil: Number.POSITIVE_INFINITY,
          claims: band.claims && claimSent(band.claims, at),
        }),
        events: band.up ? [{ kind: 'network', up: false, reason: event.reason }] : [],
      };
    case 'message': {
      if (band.id === null) return quiet(band);
      const read = decode(event.topic, event.payload);
      return read.ok ? message(band, read.value, event.at, at) : quiet(band);
    }
    default:
      return quiet(band);
  }
}

/** The link is up, perhaps again, and perhaps with another broker that knows nothing yet. */
function up(band: Band, id: string, at: number): BandStep {
  const next: Band = {
    ...band,
    id,
    up: true,
    claims: band.claims?.id === id ? band.claims : newClaims(id),
    clock: band.clock && hurried(band.clock, at),
    told: null,
    toldSong: null,
    // It may be another broker, at which not all come again.
    awaited: new Set(band.members.keys()),
    awaitedUntil: band.members.size > 0 ? at + awaitMs : Number.POSITIVE_INFINITY,
  };
  const subscribes = [...standTopics(id), ...(leads(next) ? leaderTopics() : [])];
  const back: BandEvent[] = band.id !== null && !band.up ? [{ kind: 'network', up: true, reason: '' }] : [];
  const begun: BandStep = { ...quiet(next), subscribes, events: back };
  const again =
    next.claims?.role === 'follows' ? [] : [(now: Band) => claimed(now, at), ...sharedAgain(next, at)];
  return steps(begun, hello, ...again);
}

function message(band: Band, one: Message, came: number, at: number): BandStep {
  // An answer is known by its question; one to no question is no sign of life either.
  if (one.kind === 'answer' && !band.clock?.asked.includes(one.t1)) return quiet(band);
  const seen = one.kind === 'answer' ? band.seen : taken(band.seen, one);
  if (!seen) return quiet(isKeptHello(band, one) ? cameAgain(band, one.from) : band);
  const here = one.kind === 'goodbye' ? band : cameAgain(band, one.from);
  if ('term' in one) return ledHeard(here, one, { ...here, seen }, came, at);
  const next = { ...here, seen };
  if (one.from !== band.id) return standHeard(next, one, came, at);
  // It is said of us that we have gone: of an earlier connection, or by somebody who says it again.
  if (one.kind !== 'goodbye' || !band.up) return quiet(next);
  return steps(hello(next), (now) => (leads(now) ? claimed(now, at) : quiet(now)));
}

/** Whether it is the last hello of a stand, repeated: the broker keeps it for as long as that stand is there. */
function isKeptHello({ seen }: Band, { kind, from, seq }: Message): boolean {
  return kind === 'hello' && seq === latestOf(seen, from, kind);
}

/** A member who was waited for was heard of. */
function cameAgain(band: Band, id: string): Band {
  if (!band.awaited.has(id)) return band;
  const awaited = new Set(band.awaited);
  awaited.delete(id);
  return { ...band, awaited };
}

/** Members who have not come again in time have left. */
export function notComeAgain(band: Band, at: number): BandStep {
  if (at < band.awaitedUntil) return quiet(band);
  const gone = [...band.awaited];
  const waited = { ...band, awaited: new Set<string>(), awaitedUntil: Number.POSITIVE_INFINITY };
  return steps(quiet(waited), ...gone.map((id) => (now: Band) => memberLeft(now, id)));
}

/** A stand has left the band: it says so, or the broker does, or it is there no longer. */
function memberLeft(band: Band, id: string): BandStep {
  const member = band.members.get(id);
  const members = new Map(band.members);
  members.delete(id);
  const left = new Set([...band.left, id].slice(-mostMembers));
  const claims = band.claims && standLeft(band.claims, id);
  return { ...quiet({ ...band, members, left, claims }), events: member ? [{ kind: 'left', member }] : [] };
}

/** Something that a leader said, or that claims to be one. */
function ledHeard(before: Band, one: LeaderMessage, seen: Band, came: number, at: number): BandStep {
  if (!before.claims) return quiet(before);
  const laidDown = one.kind === 'claim' && one.gone;
  const gone = laidDown || before.left.has(one.from);
  const claims = claimHeard(before.claims, { term: one.term, id: one.from }, gone, at);
  // A stand that does not lead is not listened to; what it said is used when it does.
  if (!holdsClaim(claims, { term: one.term, id: one.from })) {
    // A claim is complete in itself at this moment, and what is said to one stand is not kept.
    const passes = one.kind === 'claim' || one.kind === 'answer' || one.kind === 'noted';
    const unheeded = passes ? before.unheeded : new Set([...before.unheeded, one.from].slice(-mostMembers));
    return quiet({ ...before, claims, unheeded });
  }
  const lost = before.claims.role !== 'follows' && claims.role === 'follows' && one.from !== before.id;
  const taken = takenIn({ ...seen, claims, laidDown }, one, came);
  return lost ? steps(takenBack(taken.band), () => taken) : taken;
}

/** What is accepted about the leader. */
function takenIn(band: Band, one: LeaderMessage, came: number): BandStep {
  if (one.from === band.id) return quiet(band);
  switch (one.kind) {
    case 'claim':
      return quiet({
        ...band,
        names: namesWith(band, one.from, one.name),
        classOf: one.isClass ? one.from : null,
      });
    case 'song':
      return songHeard(band, one);
    case 'set': {
      const { title, songs, at: place } = one;
      const set = { title, songs, at: place };
      return { ...quiet({ ...band, set }), events: [{ kind: 'set', set }] };
    }
    case 'notes':
      return { ...quiet({ ...band, notes: one.lines }), events: [{ kind: 'notes', lines: one.lines }] };
    case 'now':
      return quiet({ ...band, now: one });
    case 'away':
      return band.id !== null && one.ids.includes(band.id)
        ? { ...quiet(band), events: [{ kind: 'turned-away' }] }
        : quiet(band);
    case 'noted':
      return quiet({ ...band, asks: askHeard(band.asks, one.ask) });
    case 'answer': {
      const { clock, clockOf } = band;
      return quiet(clock && clockOf === one.from ? { ...band, clock: answered(clock, one, came) } : band);
    }
  }
}

function namesWith({ names }: Band, id: string, name: string): ReadonlyMap<string, string> {
  const next = new Map([...names].slice(-mostMembers));
  next.set(id, name);
  return next;
}

function songHeard(band: Band, { song: id, source }: MessageOf<'song'>): BandStep {
  if (band.song?.id === id) return quiet(band);
  const song = songFromSource(id, source);
  if (!song)
    return {
      ...quiet(band),
      events: [
        {
          kind: 'unreadable',
          reason: 'the leader’s chart cannot be read here; the leader may have a newer barkline',
        },
      ],
    };
  return { ...quiet({ ...band, song }), events: [{ kind: 'song', song }] };
}

/** Something that any stand may say. */
function standHeard(band: Band, one: Exclude<Message, LeaderMessage>, came: number, at: number): BandStep {
  switch (one.kind) {
    case 'question':
      return leads(band)
        ? said(
            band,
            (id) => answerTopic(id, one.from),
            { kind: 'answer', term: termOf(band), t1: one.t1, t2: came, t3: at },
            false,
            0,
          )
        : quiet(band);
    case 'hello': {
      const { from: id, name, part } = one;
      const known = band.members.get(id);
      if (!known && band.members.size >= mostMembers) return quiet(band);
      const member = { id, name, part };
      const left = new Set(band.left);
      left.delete(id);
      const claims = band.left.has(id) ? isBack(band, id, at) : band.claims;
      const next = { ...band, left, claims, members: new Map(band.members).set(id, member) };
      return { ...quiet(next), events: known ? [] : [{ kind: 'joined', member }] };
    }
    case 'goodbye':
      return memberLeft(cameAgain(band, one.from), one.from);
    case 'talk': {
      const { word, from } = one;
      return {
        ...quiet(band),
        events: [{ kind: 'talk', from: nameOf(band, from), text: talkText(one), word }],
      };
    }
    case 'request':
      return leads(band) ? requested(band, one) : quiet(band);
    case 'result': {
      const { from: id, pass, line } = one;
      return leads(band)
        ? { ...quiet(band), events: [{ kind: 'result', id, from: nameOf(band, id), pass, line }] }
        : quiet(band);
    }
  }
}

/** A stand that had gone is back: if it led it leads again, because its claim was heard while it counted as gone. */
function isBack({ claims, laidDown }: Band, id: string, at: number): Claims | null {
  return claims?.best?.id === id && claims.role === 'follows' && claims.gone && !laidDown
    ? { ...claims, gone: false, heardAt: at }
    : claims;
}

/** A song is asked for: it is answered each time, and told once. */
function requested(band: Band, { from, ask, title }: MessageOf<'request'>): BandStep {
  const answer = said(band, (id) => notedTopic(id, from), { kind: 'noted', term: termOf(band), ask }, false);
  const before = band.noted.get(from) ?? [];
  if (before.includes(ask)) return answer;
  const noted = new Map([...band.noted].slice(-mostMembers)).set(from, [...before, ask].slice(-mostNoted));
  return {
    ...answer,
    band: { ...answer.band, noted },
    events: [{ kind: 'request', from: nameOf(band, from), title }],
  };
}

/** Somebody else leads, or nobody: it is said, and their clock is asked from now on. */
export function leaderNoticed(band: Band, at: number): BandStep {
  const leader = leaderId(band);
  const claims = band.claims as Claims;
  if (leader === band.announced) return quiet(band);
  const mine = leader !== null && leader === band.id;
  const events: BandEvent[] =
    claims?.role === 'lapsed'
      ? [{ kind: 'lapsed' }]
      : [{ kind: 'leader', name: leader === null ? null : nameOf(band, leader), mine }];
  const own = { ...band, announced: leader };
  if (mine)
    return { ...quiet({ ...own, clock: null, clockOf: null, follower: firstFollower, now: null }), events };
  if (leader === null) return { ...quiet(own), events };
  // What was led goes on as what is followed, if the new leader has taken it over.
  const followed = band.wasRunning && band.told !== null ? { ...firstFollower, ...band.led } : band.follower;
  const same = band.clockOf === leader;
  const next: Band = {
    ...own,
    clock: same ? band.clock : newClock(at),
    clockOf: leader,
    alone: false,
    wasRunning: false,
    told: null,
    toldSong: null,
    follower: followed,
  };
  // What the broker keeps of the new leader may have come before it was known to lead.
  if (band.id === null || !band.unheeded.has(leader)) return { ...quiet(next), events };
  const unheeded = new Set([...band.unheeded].filter((id) => id !== leader));
  return { ...quiet({ ...next, unheeded }), subscribes: standTopics(band.id), events };
}
