/*
 * Songs that are asked for reach whoever leads: also where nobody did at that moment, or where the leader's network was away. Each request
 * keeps its number however often it is said; a leader answers with it, and then it is said no more. All times are ms of the own clock.
 */

/** A request of the own stand that no leader has answered yet. */
export interface Ask {
  /** Its number among the own ones, from 1. */
  readonly ask: number;
  readonly title: string;
  /** When it was made; `null` until time is known. */
  readonly since: number | null;
  /** Which leader it was sent to, how often, and when to send it again without an answer. */
  readonly to: string | null;
  readonly tries: number;
  readonly nextAt: number;
}

/** This many requests wait at once: of more the oldest is forgotten. */
const mostAsks = 8;
/** A request is sent to one leader this often at most. */
const mostTries = 4;
/** The first time to wait for an answer, ms; each further one is twice as long. */
const firstWaitMs = 2000;
/** A request without an answer for this long is no longer wanted, ms. */
const longestMs = 20 * 60_000;

/** Adds a request for a song, unless the same one is waiting already. */
export function withAsk(asks: readonly Ask[], ask: number, title: string): readonly Ask[] {
  if (asks.some((one) => one.title === title)) return asks;
  const first = { ask, title, since: null, to: null, tries: 0, nextAt: Number.NEGATIVE_INFINITY };
  return [...asks, first].slice(-mostAsks);
}

/** When to send a request next while a stand leads, ms; infinite for never. */
function dueAt(one: Ask, leader: string): number {
  if (one.to !== leader) return Number.NEGATIVE_INFINITY;
  return one.tries < mostTries ? one.nextAt : Number.POSITIVE_INFINITY;
}

/** When the next of them is due, ms. */
export function asksDueAt(asks: readonly Ask[], leader: string): number {
  return asks.reduce((soonest, one) => Math.min(soonest, dueAt(one, leader)), Number.POSITIVE_INFINITY);
}

/** Those to send now, and all as they are after that. */
export function askedNow(
  asks: readonly Ask[],
  leader: string,
  at: number,
): { readonly say: readonly Ask[]; readonly asks: readonly Ask[] } {
  const known = asks
    .map((one) => ({ ...one, since: one.since ?? at }))
    .filter(({ since }) => at - since < longestMs);
  const say = known.filter((one) => at >= dueAt(one, leader));
  const next = known.map((one): Ask => {
    if (at < dueAt(one, leader)) return one;
    const tries = one.to === leader ? one.tries + 1 : 1;
    return { ...one, to: leader, tries, nextAt: at + firstWaitMs * 2 ** (tries - 1) };
  });
  return { say, asks: next };
}

/** A leader has answered a request. */
export function askHeard(asks: readonly Ask[], ask: number): readonly Ask[] {
  return asks.some((one) => one.ask === ask) ? asks.filter((one) => one.ask !== ask) : asks;
}
