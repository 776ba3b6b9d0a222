import { addressText, type BrokerAddress } from './address.js';
import type { FoundBand } from './discover/messages.js';

/** Which of a band's brokers one is. */
export type BrokerTurn = Pick<FoundBand, 'turn' | 'id'>;

/**
 * Whether a broker gives way to another of the same word. Two are there when a band was split: whoever could not reach the first opened another. The
 * later one stays, since its leader has the higher term; of two that were opened at once that of the lower id, which wins among claims too.
 */
export function givesWay(own: BrokerTurn, other: BrokerTurn): boolean {
  return other.turn > own.turn || (other.turn === own.turn && other.id < own.id);
}

/** Where a band may be found: the address that was given, and the brokers that answered on the network. They are tried in turn. */
export class Targets {
  private readonly found = new Map<string, FoundBand>();
  private readonly refused = new Set<string>();
  private last: string | null = null;
  /** The latest of the band's brokers that was heard of. */
  private turn = 0;

  constructor(private readonly given: BrokerAddress | null) {}

  /** How many brokers the band is known to have had. */
  get turns(): number {
    return this.turn;
  }

  add(band: FoundBand): void {
    this.turn = Math.max(this.turn, band.turn);
    this.found.set(keyOf(band), band);
  }

  remove(band: FoundBand): void {
    this.found.delete(keyOf(band));
  }

  /** A stand was not let in there: it is of no use to try again. */
  refuse(address: BrokerAddress): void {
    this.refused.add(addressText(address));
  }

  /** All that may be tried: the latest brokers first, and the one that was given after them, since it was left for some reason. */
  get all(): readonly BrokerAddress[] {
    const bands = [...this.found.values()].sort(
      (one, other) => other.turn - one.turn || (one.id < other.id ? -1 : 1),
    );
    const plain = { tls: false, user: null, password: null };
    const found = bands.flatMap(({ hosts, port }) => hosts.map((host) => ({ host, port, ...plain })));
    const listed = new Map(
      [...found, ...(this.given ? [this.given] : [])].map((one) => [addressText(one), one]),
    );
    return [...listed].flatMap(([text, address]) => (this.refused.has(text) ? [] : [address]));
  }

  /** The one to try next; `null` where there is none. */
  next(): BrokerAddress | null {
    const { all } = this;
    const at = all.findIndex((one) => addressText(one) === this.last);
    const address = all[(at + 1) % Math.max(1, all.length)] ?? null;
    this.last = address && addressText(address);
    return address;
  }
}

function keyOf({ port, hosts, id }: FoundBand): string {
  return `${id} ${port} ${hosts[0]}`;
}
