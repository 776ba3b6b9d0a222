import { createHash, randomBytes } from 'node:crypto';

/**
 * Who a stand is on the network. The id is known to all, since it is in topics; the token only to the stand and the broker it
 * talks to. The one follows from the other, so nobody who has seen an id can take its place at our broker.
 */
export interface Seat {
  /** 16 letters and digits. */
  readonly id: string;
  /** The user name at our own broker. */
  readonly token: string;
}

/** A seat of a stand that starts: by chance, kept for as long as it runs. */
export function newSeat(): Seat {
  const token = randomBytes(16).toString('hex');
  return { id: idOf(token), token };
}

/** The id that belongs to a token. */
export function idOf(token: string): string {
  return createHash('sha256').update(`barkline seat ${token}`).digest('hex').slice(0, 16);
}

/** Whether a text could be an id at all. */
export function isId(text: string): boolean {
  return /^[0-9a-f]{16}$/.test(text);
}
