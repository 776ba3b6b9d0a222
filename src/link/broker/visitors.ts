import type { Socket } from 'node:net';
import type { Aedes } from 'aedes';
import { addressKey } from './attempts.js';
import { Bucket } from './bucket.js';
import { Guard } from './guard.js';

/** A connection at the broker as aedes has it. */
export type BrokerClient = Parameters<Aedes['preConnect']>[0];

/** What is known of a connection beside. */
export interface Visitor {
  readonly guard: Guard;
  readonly address: string;
  /** How often it wrote where it may not. */
  readonly forbidden: Bucket;
}

/** A stand that writes more often than this where it may not is cut off. */
const mostForbidden = { perSecond: 1, atOnce: 50 };
/** This often an address may connect. */
const connections = { perSecond: 4, atOnce: 80 };
const mostAddresses = 4096;

/** Who is connected, and which of them have joined. */
export class Visitors {
  /** The stands that have joined, by their ids. */
  readonly stands = new Map<string, BrokerClient>();
  private readonly visitors = new WeakMap<object, Visitor>();
  private readonly arrivals = new Map<string, Bucket>();

  constructor(private readonly now: () => number) {}

  /** Whether an address may connect once more just now. */
  mayConnect(address: string): boolean {
    const key = addressKey(address);
    if (this.arrivals.size > mostAddresses) this.arrivals.clear();
    const bucket = this.arrivals.get(key) ?? new Bucket(connections);
    this.arrivals.set(key, bucket);
    return bucket.take(1, this.now());
  }

  /** Takes a connection in, and watches it from now on. */
  add(socket: Socket, address: string, onCut: (why: string) => void): void {
    const guard = new Guard(socket, this.now, onCut);
    this.visitors.set(socket, { guard, address, forbidden: new Bucket(mostForbidden) });
  }

  /** What is known of a connection. */
  of(client: BrokerClient): Visitor | undefined {
    return this.visitors.get(client.conn);
  }

  /** The address of a stand that has joined, unless others that have joined share it. */
  ownAddress(id: string): string | null {
    const keyOf = (client: BrokerClient): string => addressKey(this.of(client)?.address ?? '');
    const client = this.stands.get(id);
    const address = client && this.of(client)?.address;
    if (!client || !address) return null;
    const shared = [...this.stands].some(([other, stand]) => other !== id && keyOf(stand) === keyOf(client));
    return shared ? null : address;
  }
}
