import type { Ask } from './asks.js';
import { type Claims, leaderOf } from './claims.js';
import type { LeaderClock } from './clock.js';
import { type Follower, firstFollower } from './follower.js';
import { nothingSeen, type Seen } from './fresh.js';
import type { LedTake, Told } from './leader.js';
import type { Topic } from './link.js';
import type { MessageOf } from './messages.js';
import type { PartName } from './parts.js';
import type { SharedSong } from './song.js';

/** A stand of the band, as it says. */
export interface Member {
  readonly id: string;
  readonly name: string;
  readonly part: PartName;
}

/** A message for the link. */
export interface Publish {
  readonly topic: Topic;
  /** An empty payload removes what the broker keeps there. */
  readonly payload: Uint8Array;
  readonly retain: boolean;
  readonly qos: 0 | 1;
}

/** What a stand may want to say or do because of the band. Texts are fit for a terminal. */
export type BandEvent =
  /** Somebody else leads now, or nobody (`null`). `mine`: this stand does. */
  | { readonly kind: 'leader'; readonly name: string | null; readonly mine: boolean }
  /** The own claim was not renewed: this stand leads no more until it is. */
  | { readonly kind: 'lapsed' }
  /** The network has gone, or is back. */
  | { readonly kind: 'network'; readonly up: boolean; readonly reason: string }
  /** Another song: its chart should be put on the stand. Or one that cannot be read. */
  | { readonly kind: 'song'; readonly song: SharedSong }
  | { readonly kind: 'unreadable'; readonly reason: string }
  | { readonly kind: 'set'; readonly set: SharedSet }
  | { readonly kind: 'notes'; readonly lines: readonly string[] }
  | {
      readonly kind: 'talk';
      readonly from: string;
      readonly text: string;
      readonly word: MessageOf<'talk'>['word'];
    }
  /** For the leader: a song is asked for; a student has played a pass. */
  | { readonly kind: 'request'; readonly from: string; readonly title: string }
  | {
      readonly kind: 'result';
      readonly id: string;
      readonly from: string;
      readonly pass: number;
      readonly line: string;
    }
  | { readonly kind: 'joined'; readonly member: Member }
  | { readonly kind: 'left'; readonly member: Member }
  /** This stand was turned away: it is to leave. */
  | { readonly kind: 'turned-away' }
  /** The leader has gone: the pass is played to its end. */
  | { readonly kind: 'alone' };

/** The running order for all. */
export type SharedSet = Pick<MessageOf<'set'>, 'title' | 'songs' | 'at'>;

/** What a leader shares beside the music. */
export interface Shared {
  readonly set: SharedSet | null;
  readonly notes: readonly string[];
  readonly away: readonly string[];
}

/** A stand in the band: all it knows of it. Times are ms of the own clock. */
export interface Band {
  readonly name: string;
  readonly part: PartName;
  /** If it leads, it leads a class: students' passes are sent to it. */
  readonly isClass: boolean;
  /** The id of the leader who said last that this is a class; `null` where none did. */
  readonly classOf: string | null;
  /** The own id; `null` before the link was up. */
  readonly id: string | null;
  readonly up: boolean;
  /** When the link went down. */
  readonly downAt: number;
  /** The number of the last message. */
  readonly seq: number;
  readonly claims: Claims | null;
  readonly seen: Seen;
  readonly members: ReadonlyMap<string, Member>;
  /** The ids of members who have not been heard of since the link is up again, and until when they are waited for, ms. */
  readonly awaited: ReadonlySet<string>;
  readonly awaitedUntil: number;
  /** The ids of those who have gone and not come back: what the broker still keeps from them is not from a leader. */
  readonly left: ReadonlySet<string>;
  /** Whether the leader has said that it leads no longer; one that only went from the network leads again when it is back. */
  readonly laidDown: boolean;
  /** The names of those who have led: who claims is known before who says hello. */
  readonly names: ReadonlyMap<string, string>;
  /** The leader's clock, and whose it is. */
  readonly clock: LeaderClock | null;
  readonly clockOf: string | null;
  /** Of whom something was not taken in, since they did not lead: what the broker keeps of them is asked for when they do. */
  readonly unheeded: ReadonlySet<string>;
  /** When the leader's topics were subscribed to again for want of its song, ms. */
  readonly askedAgain: number;
  /** What the leader has said. */
  readonly song: SharedSong | null;
  readonly set: SharedSet | null;
  readonly notes: readonly string[];
  readonly now: MessageOf<'now'> | null;
  readonly follower: Follower;
  /** Whether the pass is played to its end, for want of a leader. */
  readonly alone: boolean;
  /** What this stand has told as the leader. */
  readonly led: LedTake;
  readonly takes: number;
  readonly wasRunning: boolean;
  readonly told: Told | null;
  readonly toldSong: string | null;
  /** Whether something has changed that could not be sent yet: the last was sent just now. */
  readonly pending: boolean;
  /** Whether the own player's time runs along a leader's line. */
  readonly lined: boolean;
  readonly shared: Shared;
  /** What this stand has asked for, and how often it has asked at all. */
  readonly asks: readonly Ask[];
  readonly asked: number;
  /** The numbers of the last requests of each stand that this one has heard as the leader. */
  readonly noted: ReadonlyMap<string, readonly number[]>;
  /** What was last announced about the leader. */
  readonly announced: string | null;
}

/** The result of a step. */
export interface BandStep {
  readonly band: Band;
  readonly publishes: readonly Publish[];
  /** To be subscribed to beside what is. */
  readonly subscribes: readonly Topic[];
  readonly events: readonly BandEvent[];
}

/** A stand that joins, or begins to lead, when its link is up. */
export function newBand({
  name,
  part,
  isClass = false,
}: {
  readonly name: string;
  readonly part: PartName;
  readonly isClass?: boolean;
}): Band {
  return {
    name,
    part,
    isClass,
    classOf: null,
    id: null,
    up: false,
    downAt: Number.NEGATIVE_INFINITY,
    seq: 0,
    claims: null,
    seen: nothingSeen,
    members: new Map(),
    awaited: new Set(),
    awaitedUntil: Number.POSITIVE_INFINITY,
    left: new Set(),
    laidDown: false,
    names: new Map(),
    clock: null,
    clockOf: null,
    unheeded: new Set(),
    askedAgain: Number.NEGATIVE_INFINITY,
    song: null,
    set: null,
    notes: [],
    now: null,
    follower: firstFollower,
    alone: false,
    led: { take: 'none', shift: 0 },
    takes: 0,
    wasRunning: false,
    told: null,
    toldSong: null,
    pending: false,
    lined: false,
    shared: { set: null, notes: [], away: [] },
    asks: [],
    asked: 0,
    noted: new Map(),
    announced: null,
  };
}

/** Nothing happens. */
export function quiet(band: Band): BandStep {
  return { band, publishes: [], subscribes: [], events: [] };
}

/** One step after another. */
export function steps(first: BandStep, ...more: readonly ((band: Band) => BandStep)[]): BandStep {
  return more.reduce((before, step) => {
    const next = step(before.band);
    return {
      band: next.band,
      publishes: [...before.publishes, ...next.publishes],
      subscribes: [...before.subscribes, ...next.subscribes],
      events: [...before.events, ...next.events],
    };
  }, first);
}

/** Whether this stand leads. */
export function leads({ claims }: Band): boolean {
  return claims?.role === 'leads';
}

/** The id of the leader; `null` while there is none. */
export function leaderId({ claims }: Band): string | null {
  return claims && leaderOf(claims);
}

/** Whether somebody else leads a class, to whom this student's passes go. */
export function inClass(band: Band): boolean {
  return band.classOf !== null && band.classOf === leaderId(band) && !leads(band);
}

/** What a stand is called. */
export function nameOf({ members, names, name, id: own }: Band, id: string): string {
  return id === own ? name : (members.get(id)?.name ?? names.get(id) ?? 'somebody');
}
