import type { Topic } from '../band/link.js';

/** A claim to the lead, as it passes by. */
export interface ClaimSeen {
  readonly term: number;
  readonly id: string;
}

/** A claim is short. */
const mostBytes = 4096;

/**
 * Who leads, by the claims that pass by: the higher term, then the lower id. The stands decide it; the broker only has to know who may hear
 * what is meant for the leader.
 */
export function claimSeen(before: ClaimSeen | null, topic: Topic, payload: Uint8Array): ClaimSeen | null {
  const [kind, id, what] = topic;
  if (kind !== 'lead' || what !== 'claim' || id === undefined || payload.length > mostBytes) return before;
  const { term, gone } = fieldsOf(payload);
  if (typeof term !== 'number' || !Number.isSafeInteger(term)) return before;
  if (gone === true) return before?.id === id ? null : before;
  const wins = before === null || term > before.term || (term === before.term && id < before.id);
  return wins || before.id === id ? { term, id } : before;
}

function fieldsOf(payload: Uint8Array): Readonly<Record<string, unknown>> {
  try {
    const read: unknown = JSON.parse(new TextDecoder().decode(payload));
    return typeof read === 'object' && read !== null ? (read as Record<string, unknown>) : {};
  } catch {
    return {};
  }
}
