import type { Link, LinkEvent, Topic } from '../band/link.js';
import { hrtimeMs } from '../player/host.js';
import { addressText, type BrokerAddress } from './address.js';
import { Backoff } from './backoff.js';
import { Connection } from './connection.js';
import { mostPayload } from './frames.js';
import type { BandKeys } from './keys.js';
import { sealed, unsealed } from './seal.js';
import type { Seat } from './seat.js';
import { readTopic, writtenTopic } from './topics.js';
import { sayTrouble, type Trouble } from './trouble.js';
import { type Outgoing, Waiting } from './waiting.js';

/** What the broker should say for a stand that vanishes. */
export interface LastWord {
  readonly topic: Topic;
  readonly payload: Uint8Array;
  readonly retain: boolean;
  readonly qos: 0 | 1;
}

/** How a link is opened. */
export interface LinkOptions {
  /** Where the broker is. Without a user it is taken for a band's own, where a stand comes in by the word. */
  readonly address: BrokerAddress;
  readonly keys: BandKeys;
  readonly seat: Seat;
  /** At our own broker: the password that it was opened with. */
  readonly leaderPassword?: string | null;
  /** The only authorities to trust with TLS (PEM); without it the system's. */
  readonly ca?: Uint8Array | null;
  /** Asked for before each connection, of which it is the last word. A stand that leaves says so itself. */
  readonly lastWord?: (() => LastWord | null) | null;
  readonly onEvent: (event: LinkEvent) => void;
}

/** A link over MQTT. It connects again by itself until it is closed or refused. */
export interface OpenLink extends Link {
  /** Throws away what waits for a connection: what a stand that no longer leads had still to say. */
  forget(): void;
  /**
   * Goes to another broker of the same band from now on: the one that a new leader has opened. At one's own: with the password that it was opened with. Where it is the same one
   * and it is waited for, it is tried at once.
   */
  redirect(address: BrokerAddress, leaderPassword?: string | null): void;
  /** Bytes that came and went since it was opened, without what TCP and IP put round them. */
  traffic(): { readonly received: number; readonly sent: number };
}

/** This many messages may be on their way unanswered; and so many bytes unsent, before what is fleeting is left out. */
const mostUnanswered = 64;
const mostUnsent = 1 << 20;
/** This many messages are kept that come before it is up: those that the broker keeps. */
const mostEarly = 256;

/** Opens a link to a band's broker, its own or another. Events begin with the next turn of the loop; after `refused` none comes any more. */
export function openLink(options: LinkOptions): OpenLink {
  return new MqttLink(options);
}

class MqttLink implements OpenLink {
  private connection: Connection | null = null;
  private up = false;
  /** Whether it has been up at the address where it is now. */
  private wasIn = false;
  /** Whether the owner is just being told that the link is up. */
  private greets = false;
  private closed = false;
  private readonly topics = new Set<string>();
  private readonly waiting = new Waiting();
  private readonly unanswered = new Set<Outgoing>();
  private readonly backoff = new Backoff();
  /** What came after the broker accepted the stand, and before it confirmed the subscriptions. */
  private early: LinkEvent[] = [];
  private retry: NodeJS.Timeout | null = null;
  private lastReason = '';
  /** What connections before this one carried. */
  private carried = { received: 0, sent: 0 };

  private address: BrokerAddress;
  private leaderPassword: string | null;

  constructor(private readonly options: LinkOptions) {
    this.address = options.address;
    this.leaderPassword = options.leaderPassword ?? null;
    setImmediate(() => this.connect());
  }

  publish(topic: Topic, payload: Uint8Array, { retain, qos }: { retain: boolean; qos: 0 | 1 }): void {
    if (this.closed) return;
    // The band bounds what it says itself: what does not fit is a programming error, and must not stop the music.
    if (payload.length > mostPayload || writtenTopic(this.options.keys.band, topic) === null) return;
    const message: Outgoing = { topic, payload, retain, qos, at: hrtimeMs() };
    const clear = this.up && (this.connection?.unsent ?? 0) <= mostUnsent;
    if (clear && qos === 0 && !retain) this.send(message);
    else this.waiting.add(message);
    if (clear) this.flush();
  }

  subscribe(topics: readonly Topic[]): void {
    const written = topics
      .map((topic) => writtenTopic(this.options.keys.band, topic, true))
      .filter((text) => text !== null);
    for (const text of written) this.topics.add(text);
    // What is kept has just been asked for where the stand only now hears that it is up.
    if (this.up) this.connection?.subscribe(written, !this.greets);
  }

  forget(): void {
    this.waiting.take(hrtimeMs());
    this.unanswered.clear();
  }

  redirect(address: BrokerAddress, leaderPassword: string | null = null): void {
    const isThere = addressText(address) === addressText(this.address) && !this.retry;
    this.leaderPassword = leaderPassword;
    if (this.closed || isThere) return;
    this.address = address;
    this.wasIn = false;
    this.backoff.reset();
    if (this.retry) {
      clearTimeout(this.retry);
      this.retry = null;
      this.connect();
    } else this.connection?.end(true);
  }

  traffic(): { readonly received: number; readonly sent: number } {
    const { received, sent } = this.connection?.traffic ?? { received: 0, sent: 0 };
    return { received: this.carried.received + received, sent: this.carried.sent + sent };
  }

  async close(): Promise<void> {
    if (this.closed) return;
    this.closed = true;
    if (this.retry) clearTimeout(this.retry);
    await this.connection?.end(this.up);
    this.up = false;
  }

  private connect(): void {
    if (this.closed || this.connection) return;
    this.retry = null;
    const { keys, seat, ca = null } = this.options;
    const { address, leaderPassword } = this;
    const lastWord = this.options.lastWord?.() ?? null;
    const text = lastWord ? writtenTopic(keys.band, lastWord.topic) : null;
    const will =
      lastWord && text !== null
        ? {
            topic: text,
            payload: sealed(keys.seal, lastWord.topic, lastWord.payload),
            retain: lastWord.retain,
            qos: lastWord.qos,
          }
        : null;
    const own = address.user === null;
    const connection: Connection = new Connection({
      address,
      ca,
      id: seat.id,
      user: own ? seat.token : (address.user ?? ''),
      password: own ? (leaderPassword ?? keys.password) : (address.password ?? ''),
      will,
      topics: () => [...this.topics],
      onUp: () => this.connection === connection && this.isUp(),
      onDenied: () => this.connection === connection && this.denied(),
      onMessage: (topic, payload, at) => this.connection === connection && this.hear(topic, payload, at),
      onLost: (trouble) => this.connection === connection && this.lost(trouble),
    });
    this.connection = connection;
  }

  private isUp(): void {
    if (this.closed) return;
    this.up = true;
    this.wasIn = true;
    this.lastReason = '';
    this.backoff.reset();
    this.greets = true;
    this.options.onEvent({ kind: 'up', id: this.options.seat.id });
    this.greets = false;
    for (const event of this.early.splice(0)) this.options.onEvent(event);
    this.flush();
  }

  private hear(text: string, bytes: Uint8Array, at: number): void {
    const { band, seal } = this.options.keys;
    const topic = readTopic(band, text);
    const payload = topic && unsealed(seal, topic, bytes);
    if (!topic || !payload || payload.length > mostPayload || this.closed) return;
    const event: LinkEvent = { kind: 'message', topic, payload, at };
    if (this.up) this.options.onEvent(event);
    else if (this.early.length < mostEarly) this.early.push(event);
  }

  private lost(trouble: Trouble): void {
    this.carried = this.traffic();
    this.connection = null;
    this.early = [];
    const wasUp = this.up;
    this.up = false;
    this.waiting.putBack([...this.unanswered]);
    this.unanswered.clear();
    if (this.closed) return;
    const { reason, final } = sayTrouble(this.address, trouble, this.wasIn);
    if (final) {
      this.refuse(reason);
      return;
    }
    this.retry = setTimeout(() => this.connect(), this.backoff.next());
    // Another try that fails for the same reason is not reported.
    if (wasUp || reason !== this.lastReason) this.options.onEvent({ kind: 'down', reason });
    this.lastReason = reason;
  }

  private denied(): void {
    const where = addressText(this.address);
    this.refuse(
      `${where} does not let this stand hear the band; ask whoever runs it for the right to read and write barkline/#`,
    );
  }

  /** Gives up: trying again would not help. */
  private refuse(reason: string): void {
    this.closed = true;
    this.up = false;
    this.connection?.end(false);
    this.options.onEvent({ kind: 'refused', reason });
  }

  /** Sends what waits, as far as it may be on its way. */
  private flush(): void {
    const { connection } = this;
    if (!this.up || !connection || this.waiting.size === 0) return;
    const clogged = connection.unsent > mostUnsent;
    const all = this.waiting.take(hrtimeMs());
    const room = clogged ? 0 : Math.max(0, mostUnanswered - this.unanswered.size);
    for (const message of all.slice(0, room)) this.send(message);
    this.waiting.putBack(all.slice(room));
    if (clogged) connection.whenSent(() => this.flush());
  }

  private send(message: Outgoing): void {
    const { band, seal } = this.options.keys;
    const { topic, payload, retain, qos } = message;
    const text = writtenTopic(band, topic);
    if (text === null) return;
    if (qos === 1) this.unanswered.add(message);
    // Nothing, where the broker keeps something, has it keep that no longer (MQTT 3.1.1 section 3.3.1.3): a seal would be something.
    const bytes = retain && payload.length === 0 ? Buffer.alloc(0) : sealed(seal, topic, payload);
    this.connection?.publish(text, bytes, { retain, qos }, () => {
      if (this.unanswered.delete(message)) this.flush();
    });
  }
}
