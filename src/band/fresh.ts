import type { Message } from './messages.js';

/*
 * A message that was sent once is taken in once. A stand numbers its messages, each above the one before, in all terms that it leads. What the broker
 * keeps comes again whenever somebody subscribes, and after what was said since; so numbers are compared within a kind.
 */

/** The numbers of the latest messages, by sender and kind. */
export type Seen = ReadonlyMap<string, number>;

/** Nothing was seen yet. */
export const nothingSeen: Seen = new Map();

/** No band or camp has more pairs of sender and kind than these: those that were heard of longest ago are forgotten. */
const mostPairs = 10_000;

/** The number of the latest message of a sender and kind; 0 before any. */
export function latestOf(seen: Seen, from: string, kind: Message['kind']): number {
  return seen.get(`${from} ${kind}`) ?? 0;
}

/** Takes a message in; `null` where it was taken before, or is older than what was. */
export function taken(seen: Seen, message: Message): Seen | null {
  // The broker says a goodbye with the number it was given when the stand came, each time. A stand that has not gone answers it.
  if (message.kind === 'goodbye') return seen;
  const pair = `${message.from} ${message.kind}`;
  if (message.seq <= latestOf(seen, message.from, message.kind)) return null;
  const next = new Map(seen);
  next.delete(pair);
  next.set(pair, message.seq);
  if (next.size > mostPairs) next.delete(next.keys().next().value as string);
  return next;
}
