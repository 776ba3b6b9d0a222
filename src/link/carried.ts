import { addressText, openNetworkNotice } from './address.js';
import { type Broker, type OwnerEvent, openBroker } from './broker.js';
import { announceBand, type Discovery } from './discover.js';
import type { BandKeys } from './keys.js';
import type { Seat } from './seat.js';

/** How this stand runs a broker. */
export interface CarriedOptions {
  readonly keys: BandKeys;
  readonly seat: Seat;
  readonly port: number | null;
  /** What the band is announced as. */
  readonly name: string;
  /** Which of the band's brokers it is. */
  readonly turn: number;
  /** It listens: at this port, for others at this address. Told once. */
  readonly onListening: (port: number, address: string) => void;
  /** It cannot be opened: a sentence. Nothing comes after it. */
  readonly onFailed: (sentence: string) => void;
  /** A sentence for a person. */
  readonly onNotice: (sentence: string) => void;
}

/** A broker that this stand runs for its band, and its announcement on the network. */
export class Carried {
  private readonly broker: Broker;
  private announcement: Discovery | null = null;
  private listens = false;
  private leader: string;
  private closed = false;

  constructor(private readonly options: CarriedOptions) {
    const { keys, seat, port } = options;
    this.leader = seat.id;
    this.broker = openBroker({ keys, seat, port, onEvent: (event) => this.hear(event) });
  }

  /** The password with which this stand comes in. */
  get password(): string {
    return this.broker.leaderPassword;
  }

  get turn(): number {
    return this.options.turn;
  }

  /** Somebody leads: the broker lets them hear what is meant for the leader. */
  setLeader(id: string): void {
    if (id === this.leader) return;
    this.leader = id;
    this.broker.setLeader(id);
  }

  turnAway(id: string): void {
    this.broker.turnAway(id);
  }

  /** Takes back the announcement, then ends the broker; resolves after 3 s at most. */
  async close(): Promise<void> {
    this.closed = true;
    await this.announcement?.close();
    await this.broker.close();
  }

  private hear(event: OwnerEvent): void {
    if (this.closed) return;
    const { onFailed, onNotice } = this.options;
    switch (event.kind) {
      case 'listening':
        if (!this.listens) this.opened(event.port, event.addresses);
        return;
      case 'failed':
        // A successor whose port was taken meanwhile.
        if (this.listens) onNotice(event.sentence);
        else onFailed(event.sentence);
        return;
      case 'died':
      case 'refused':
      case 'trouble':
        onNotice(event.sentence);
    }
  }

  private opened(port: number, addresses: readonly string[]): void {
    this.listens = true;
    const { keys, seat, name, turn, onListening, onNotice } = this.options;
    const host = addresses[0] ?? '127.0.0.1';
    onListening(port, addressText({ host, port, tls: false }));
    const notice = openNetworkNotice({ host, tls: false });
    if (notice !== null) onNotice(notice);
    this.announcement = announceBand({ tag: keys.tag, name, port, id: seat.id, turn }, (event) => {
      if (event.kind === 'failed' && !this.closed) onNotice(event.sentence);
    });
  }
}
