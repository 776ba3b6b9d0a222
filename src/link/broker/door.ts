import { idOf, isId } from '../seat.js';
import { sameSecret } from '../word.js';
import { Attempts, addressKey } from './attempts.js';
import type { ServeOptions } from './messages.js';

/** Somebody who wants to join, as their first packet says. */
export interface Visit {
  readonly id: string;
  readonly address: string;
  readonly user: string | undefined;
  readonly password: Uint8Array | undefined;
  /** The most stands that are allowed are there already. */
  readonly full: boolean;
}

/**
 * Whether they are let in. `code`: MQTT's return code (3.1.1 section 3.2.2.3): 3 not now, 4 wrong word, 5 not any more. `delayMs`: how long
 * to wait before saying so.
 */
export type Entry =
  | { readonly kind: 'in' }
  | {
      readonly kind: 'out';
      readonly code: 3 | 4 | 5;
      readonly delayMs: number;
      readonly sentence: string;
    };

/** A wrong word is answered late, ms, so that each guess takes time. */
const wrongDelayMs = 1000;

/** Decides who joins. It takes the same steps for a right word and a wrong one; only the answer differs. */
export class Door {
  private readonly attempts = new Attempts();
  private readonly turnedAway = new Set<string>();

  constructor(
    private readonly options: Pick<ServeOptions, 'password' | 'leader'>,
    private readonly now: () => number,
  ) {}

  /** Looks at a visit. */
  judge({ id, address, user, password, full }: Visit): Entry {
    const at = this.now();
    const own = isId(id) && user !== undefined && idOf(user) === id;
    if (own && id === this.options.leader.id && password && same(password, this.options.leader.password))
      return { kind: 'in' };
    if (this.turnedAway.has(id) || this.turnedAway.has(addressKey(address)))
      return out(5, 0, `somebody who was turned away tried to come back from ${address}`);
    if (!this.attempts.mayTry(address, at))
      return out(3, 0, `${address} has tried too many wrong words and must wait`);
    if (!own || !password || !same(password, this.options.password)) {
      this.attempts.wrong(address, at);
      return out(4, wrongDelayMs, `somebody at ${address} tried a wrong word`);
    }
    this.attempts.right(address, at);
    return full ? out(3, 0, `${address} was not let in: the band is full`) : { kind: 'in' };
  }

  /** Keeps a stand away, and everybody from its address, if one is given; never this machine itself. */
  turnAway(id: string, address: string | null): void {
    if (id === this.options.leader.id) return;
    this.turnedAway.add(id);
    const key = address === null ? null : addressKey(address);
    if (key !== null && !/^127\.|^0:0:0:0::/.test(key)) this.turnedAway.add(key);
  }
}

function out(code: 3 | 4 | 5, delayMs: number, sentence: string): Extract<Entry, { kind: 'out' }> {
  return { kind: 'out', code, delayMs, sentence };
}

function same(one: Uint8Array, other: string): boolean {
  return sameSecret(one, Buffer.from(other, 'utf8'));
}
