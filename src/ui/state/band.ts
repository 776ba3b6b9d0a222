import { type Band, leaderId, leads, type Member, newBand } from '../../band/band.js';
import type { PartName } from '../../band/parts.js';
import { bandWake } from '../../band/play.js';
import { byName } from '../../base/by-name.js';
import type { Meeting, MeetingEvent, MeetingPlace } from '../../link/meeting-types.js';
import type { Session } from '../../playback/session.js';
import type { StandSong } from './modes.js';
import type { OwnStart } from './stand-start.js';

/** A stand among several that play together, as it is shown and spoken to. `null` in the model while it plays alone. */
export interface BandView {
  /** What is known about the band, and said in it. */
  readonly band: Band;
  /** How this stand came into it. */
  readonly began: 'lead' | 'join';
  /** It leads as soon as it is known who has led here. */
  readonly wantsLead: boolean;
  /** Since when the network is there, ms; `null` while it is not. */
  readonly upAt: number | null;
  /** Where the others join; `null` until the network has answered. */
  readonly place: MeetingPlace | null;
  /** A teacher's: each student's pass comes back to it. */
  readonly isClass: boolean;
  /** The fret of the own capo; `null`: the lowest that gives open shapes. */
  readonly capo: number | null;
  /** The caller's word that was said last, and until when it is shown, ms. */
  readonly talk: { readonly from: string; readonly text: string; readonly until: number } | null;
  /** For a leader: songs that were asked for, the oldest first. */
  readonly requests: readonly { readonly from: string; readonly title: string }[];
  /** For a teacher: the last pass of each student, by their ids. */
  readonly results: ReadonlyMap<
    string,
    { readonly from: string; readonly pass: number; readonly line: string }
  >;
  /** What to say about the network while the trouble lasts; empty when all is well. */
  readonly trouble: string;
  /** Whether the network has said that this stand cannot come in at all: it no longer tries. */
  readonly refused: boolean;
  /** The last notice about a member who came or went, and when, ms: it is shown for a while, and gives way to everything else. */
  readonly says: string;
  readonly saidAt: number;
  /** The songs of the set that was shared last, and which one it was at; `null` before. */
  readonly shares: { readonly songs: readonly StandSong[]; readonly at: number } | null;
  /** The notes that were shared last, as one text. */
  readonly noted: string;
  /** When band and session were brought together last, ms. */
  readonly lookedAt: number;
}

/** How a stand came to be in a band, as it was called. */
export interface BandStart {
  readonly name: string;
  readonly part: PartName;
  readonly capo: number | null;
  readonly isClass: boolean;
}

/** The same with how charts start that come from a leader: the player's own instrument, sound, click and sight. */
export interface BandSelf extends BandStart {
  readonly stand: OwnStart;
}

/** How the screen meets a band. */
export interface BandCall {
  readonly start: BandStart;
  /** What is done at once; `null`: the stand plays alone until its player leads. */
  readonly begins: 'lead' | 'join' | null;
  /** Opens the meeting. Events come later, never within the call. */
  readonly open: (begins: 'lead' | 'join', onEvent: (event: MeetingEvent) => void) => Meeting;
}

/** A stand that begins to lead a band, or to join one, at a time (ms): the network has not answered yet. */
export function newBandView(
  { name, part, capo, isClass }: BandStart,
  began: 'lead' | 'join',
  at = 0,
): BandView {
  const band = newBand({ name, part, isClass: isClass && began === 'lead' });
  return {
    // A stand that has been here before, and comes again, counts its messages on from there: fewer than one each ms were sent.
    band: { ...band, seq: Math.max(0, Math.floor(at)) },
    began,
    wantsLead: began === 'lead',
    upAt: null,
    place: null,
    isClass: isClass && began === 'lead',
    capo,
    talk: null,
    requests: [],
    results: new Map(),
    trouble: '',
    refused: false,
    says: '',
    saidAt: Number.NEGATIVE_INFINITY,
    shares: null,
    noted: '',
    lookedAt: Number.NEGATIVE_INFINITY,
  };
}

/** What a leader, or a stand that runs the broker, can act on: a song that was asked for, by its place among them; another stand. */
export type BandRow =
  | { readonly kind: 'request'; readonly at: number; readonly from: string; readonly title: string }
  | { readonly kind: 'stand'; readonly member: Member };

/** The others who are there, by their names as people order them: “Student 2” before “Student 10”. */
export function membersInOrder({ members }: Band): readonly Member[] {
  return [...members.values()].sort((one, other) => byName(one.name, other.name));
}

/**
 * The lines of the band's overlay that can be chosen, in their order: for the leader, and for the stand that runs the broker, since a stand is turned away there. Any other
 * follower sees who is there and can choose none.
 */
export function bandRows(view: BandView): readonly BandRow[] {
  const { band, requests } = view;
  const isLeader = leads(band);
  if (!isLeader && !mayTurnAway(view)) return [];
  return [
    ...(isLeader ? requests.map((one, at): BandRow => ({ kind: 'request', at, ...one })) : []),
    ...membersInOrder(band).map((member): BandRow => ({ kind: 'stand', member })),
  ];
}

/** Whether this stand can keep others away: by leading, or at the broker that it carries. */
export function mayTurnAway({ band, place }: BandView): boolean {
  return leads(band) || (place?.carried ?? false);
}

/** How long a notice about a member who came or went is shown, ms. */
export const saidMs = 8000;
/** Something that was due and could not be done is tried again after this long, ms. */
const againMs = 250;

/** This long after the network is there a broker has said what it keeps of whoever led before, ms. */
const knownMs = 500;

/** When a stand that is to lead does, ms; `null` where it is not to, or the network is not there. A broker of its own keeps nothing. */
export function leadsAt({ band, wantsLead, upAt, place }: BandView): number | null {
  if (!wantsLead || upAt === null || !band.up || !band.claims) return null;
  return place?.carried ? upAt : upAt + knownMs;
}

/** When something of the band is due, ms; infinite when nothing is. */
export function bandDueAt(view: BandView, session: Session): number {
  const { band, talk, says, saidAt, lookedAt } = view;
  const wake = bandWake(band, session);
  return Math.min(
    wake > lookedAt ? wake : lookedAt + againMs,
    talk?.until ?? Number.POSITIVE_INFINITY,
    leadsAt(view) ?? Number.POSITIVE_INFINITY,
    says === '' ? Number.POSITIVE_INFINITY : saidAt + saidMs,
  );
}

/** What the leader is called; `null` while nobody leads. */
export function leaderName({ band }: BandView): string | null {
  const id = leaderId(band);
  if (id === null) return null;
  return id === band.id ? band.name : (band.members.get(id)?.name ?? band.names.get(id) ?? 'somebody');
}

/** Whether two views are drawn alike: clocks are asked and messages counted all the time, of which nothing is seen. */
export function bandDrawnAlike(one: BandView, other: BandView): boolean {
  if (one === other) return true;
  const own = [
    'place',
    'talk',
    'requests',
    'results',
    'trouble',
    'refused',
    'says',
    'began',
    'wantsLead',
  ] as const;
  const known = ['up', 'members', 'names', 'announced', 'song', 'set', 'notes', 'alone', 'shared'] as const;
  return (
    own.every((name) => one[name] === other[name]) &&
    known.every((name) => one.band[name] === other.band[name]) &&
    one.band.claims?.role === other.band.claims?.role
  );
}
