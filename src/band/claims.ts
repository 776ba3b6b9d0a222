import { mostTerm } from './schema.js';

/*
 * Who leads. Each time the lead is taken its term is one higher than any that was heard of; the higher term wins, and of two that were
 * taken at once the lower id. A leader renews its claim with whatever it says, and hears it come back from the network: one that hears it
 * no longer steps down, and leads again when it does and nobody else has taken over meanwhile. All times are ms of the own clock.
 *
 * Terms count what people do, so those of one band are close together. Of two claims that are farther apart than `nearTerms` one was made
 * up; the lower one wins, since a band's terms begin at 1. So nobody can claim so high that nobody else can claim higher: a stand that
 * knows of the others does not believe it, and one that has just come, and knows only that claim, believes the next one that it hears. After
 * the highest term comes the first. So terms never run out, and a stand that asks for the lead gets it, whatever was claimed.
 */

/** A claim to the lead. */
export interface Claim {
  readonly term: number;
  readonly id: string;
}

/**
 * What a stand is in the band: `follows`; `leads`; or `lapsed`: it led and could not renew its claim, and leads again if it still can.
 */
export type Role = 'follows' | 'leads' | 'lapsed';

/** What a stand knows about the leader. */
export interface Claims {
  readonly id: string;
  readonly role: Role;
  /** The claim that holds, or held last; `null` before any. */
  readonly best: Claim | null;
  /** The highest term that was heard of and believed; 0 before any. */
  readonly highest: number;
  /** When it was last renewed, as far as was heard. */
  readonly heardAt: number;
  /** Its holder has said, or the network of it, that it leads no longer. */
  readonly gone: boolean;
  /** When the own claim was sent that has not come back yet; `null` when all came back. */
  readonly sentAt: number | null;
  /** When to send the stand's own claim again. */
  readonly renewAt: number;
}

/** A claim that comes back later than this was not renewed, ms. */
export const leaseMs = 5000;
/** How often a leader renews its claim where it has nothing else to say, ms. */
export const renewMs = 30_000;
/** How often it sends one that does not come back, ms. */
const retryMs = 1000;
/** A leader of whom nothing is heard for this long is gone, ms: longer than two renewals, and than a lease. */
export const goneMs = 70_000;

/** Terms that are farther apart are not of one band's history: nobody takes the lead this often while somebody else is away. */
export const nearTerms = 1000;

/** A stand that has just come. */
export function newClaims(id: string): Claims {
  return {
    id,
    role: 'follows',
    best: null,
    highest: 0,
    heardAt: Number.NEGATIVE_INFINITY,
    gone: false,
    sentAt: null,
    renewAt: Number.POSITIVE_INFINITY,
  };
}

/** Whether a claim wins over another. */
export function beats(one: Claim, other: Claim | null): boolean {
  return other === null || isLater(one.term, other.term) || (one.term === other.term && one.id < other.id);
}

/** Whether a term comes after another: it is higher; but of two that are far apart the lower one is believed. */
function isLater(term: number, other: number): boolean {
  return Math.abs(term - other) <= nearTerms ? term > other : term < other;
}

/** Whether a claim is the one that holds. */
export function holdsClaim({ best }: Claims, { term, id }: Claim): boolean {
  return best !== null && best.term === term && best.id === id;
}

/** The id of the leader; `null` while nobody leads. */
export function leaderOf({ best, gone, role, id }: Claims): string | null {
  if (best === null || gone || (best.id === id && role === 'follows')) return null;
  return role === 'lapsed' ? null : best.id;
}

/** The lead is taken: by asking, whoever has it. The claim must be sent at once. */
export function takeLead(claims: Claims, at: number): Claims {
  if (claims.role === 'leads') return claims;
  const best = { term: claims.highest >= mostTerm ? 1 : claims.highest + 1, id: claims.id };
  return {
    ...claims,
    role: 'leads',
    best,
    highest: best.term,
    heardAt: at,
    gone: false,
    sentAt: null,
    renewAt: at,
  };
}

/** The lead is given up. The stand that led says so, with `gone`. */
export function layDown(claims: Claims): Claims {
  if (claims.role === 'follows') return claims;
  return { ...claims, role: 'follows', gone: true, sentAt: null, renewAt: Number.POSITIVE_INFINITY };
}

/** Anything that a leader said was heard, and so its claim; `gone`: it gives up it. Its own comes back to a leader so. */
export function claimHeard(before: Claims, { term, id }: Claim, gone: boolean, at: number): Claims {
  // A claim that no longer holds is no measure for others.
  const later = (known: number): boolean => isLater(term, known) && !(gone && term < known);
  const highest = before.highest === 0 || later(before.highest) ? term : before.highest;
  const claims = { ...before, highest };
  const { best, role } = claims;
  if (holdsClaim(claims, { term, id })) {
    if (id !== claims.id) return { ...claims, heardAt: at, gone };
    // A lead that was given up is also heard back.
    if (role === 'follows' || gone) return claims;
    return { ...claims, role: 'leads', heardAt: at, sentAt: null, renewAt: at + renewMs };
  }
  // A stand that has come since then may not know how high the terms of those were that have gone; nor may one that was told of made-up terms.
  const succeeds = claims.gone && !gone;
  const wins = best === null || (term === best.term ? id < best.id : later(best.term));
  if (wins || succeeds)
    return {
      ...claims,
      role: 'follows',
      best: { term, id },
      heardAt: at,
      gone,
      sentAt: null,
      renewAt: Number.POSITIVE_INFINITY,
    };
  // Somebody does not know who leads: it is said again.
  return role === 'leads' ? { ...claims, renewAt: Math.min(claims.renewAt, at) } : claims;
}

/** The network says that a stand has left it. */
export function standLeft(claims: Claims, id: string): Claims {
  return claims.best?.id === id && id !== claims.id ? { ...claims, gone: true } : claims;
}

/** The own claim, or anything else that carries it, was sent. */
export function claimSent(claims: Claims, at: number): Claims {
  if (claims.role === 'follows') return claims;
  return { ...claims, sentAt: claims.sentAt ?? at, renewAt: at + retryMs };
}

/** Time has come to `at`: a claim may have lapsed, or a leader may be gone. */
export function claimsDue(claims: Claims, at: number): Claims {
  const { role, sentAt, best, heardAt, gone, id } = claims;
  if (role === 'leads' && sentAt !== null && at - sentAt >= leaseMs)
    return { ...claims, role: 'lapsed', renewAt: Math.min(claims.renewAt, at + retryMs) };
  if (role === 'follows' && best !== null && best.id !== id && !gone && at - heardAt >= goneMs)
    return { ...claims, gone: true };
  return claims;
}

/** When something of it is due next, ms; infinite when nothing is. */
export function claimsWake({ role, sentAt, best, heardAt, gone, id, renewAt }: Claims): number {
  if (role === 'follows')
    return best === null || gone || best.id === id ? Number.POSITIVE_INFINITY : heardAt + goneMs;
  return Math.min(renewAt, role === 'leads' && sentAt !== null ? sentAt + leaseMs : Number.POSITIVE_INFINITY);
}
