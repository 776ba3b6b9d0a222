import { randomBytes } from 'node:crypto';
import { fileURLToPath } from 'node:url';
import { bandRules } from './band-rules.js';
import type { BrokerEvent, FromBroker, ServeOptions, ToBroker } from './broker/messages.js';
import type { TopicRule } from './broker/rules.js';
import { KeptProcess } from './kept-process.js';
import type { BandKeys } from './keys.js';
import type { Seat } from './seat.js';

export type { BrokerEvent } from './broker/messages.js';
export type { Role, TopicRule } from './broker/rules.js';

/** How a band's broker is opened. */
export interface BrokerOptions {
  readonly keys: Pick<BandKeys, 'band' | 'password'>;
  /** The seat of the stand that leads. */
  readonly seat: Seat;
  /** Who may write and hear what, by default the band's own rules; a topic without a rule does not exist. */
  readonly rules?: readonly TopicRule[];
  /** The port; without it the usual one, or any that is free. */
  readonly port?: number | null;
  /** The address of this machine to listen on; without it all of them. */
  readonly host?: string | null;
  readonly onEvent: (event: OwnerEvent) => void;
}

/** What the owner of a broker is told: what happens there, and that its process died (`again`: another took its place, and the stands come back to it). */
export type OwnerEvent =
  | BrokerEvent
  | { readonly kind: 'died'; readonly sentence: string; readonly again: boolean };

/** The owner's end of the band's broker. Nothing of it waits or throws. */
export interface Broker {
  /** The password with which the leading stand comes in at its own broker, whatever others have tried. */
  readonly leaderPassword: string;
  /** Another stand leads: from now on it may write what leaders write. */
  setLeader(id: string): void;
  /** Ends a stand's connection and keeps it away. */
  turnAway(id: string): void;
  /** Ends the broker; resolves when its process has gone, after 1.5 s at most. */
  close(): Promise<void>;
}

/** What the broker's process may use, MB: four bands' worth of charts. */
const heapMegabytes = 160;

/** Opens a broker for a band, in a process of its own. */
export function openBroker(options: BrokerOptions): Broker {
  return new BrokerClient(options);
}

class BrokerClient implements Broker {
  readonly leaderPassword = randomBytes(24).toString('base64url');
  private readonly onEvent: BrokerOptions['onEvent'];
  private readonly options: ServeOptions;
  private readonly turnedAway = new Set<string>();
  private readonly kept: KeptProcess<ToBroker, FromBroker>;
  private leader: string;
  /** The port that it listens on: another process is to listen on the same. */
  private port: number | null;

  constructor({ keys, seat, rules = bandRules, port = null, host = null, onEvent }: BrokerOptions) {
    this.onEvent = onEvent;
    this.leader = seat.id;
    this.port = port;
    this.options = {
      band: keys.band,
      password: keys.password,
      leader: { id: seat.id, password: this.leaderPassword },
      rules,
      host,
      port,
    };
    const file = fileURLToPath(new URL('./broker/process.js', import.meta.url));
    this.kept = new KeptProcess(file, heapMegabytes, {
      onMessage: (message) => this.hear(message as BrokerEvent),
      onDied: (reason, again) => this.died(reason, again),
    });
    this.begin();
  }

  setLeader(id: string): void {
    this.leader = id;
    this.kept.send({ kind: 'leader', id });
  }

  turnAway(id: string): void {
    this.turnedAway.add(id);
    this.kept.send({ kind: 'turn-away', id });
  }

  close(): Promise<void> {
    return this.kept.quit();
  }

  private begin(): void {
    this.kept.send({ kind: 'open', options: { ...this.options, port: this.port } });
    if (this.leader !== this.options.leader.id) this.kept.send({ kind: 'leader', id: this.leader });
    for (const id of this.turnedAway) this.kept.send({ kind: 'turn-away', id });
  }

  private hear(event: BrokerEvent): void {
    if (event.kind === 'listening') this.port = event.port;
    this.onEvent(event);
  }

  private died(reason: string, again: boolean): void {
    if (again) this.begin();
    const then = again
      ? 'it is being started again, and the stands will come back by themselves'
      : 'it keeps failing and will not be started again; lead again, or use another broker with --broker';
    this.onEvent({ kind: 'died', sentence: `the band’s broker has stopped (${reason}); ${then}`, again });
  }
}
