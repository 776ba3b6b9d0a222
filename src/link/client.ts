import { MqttClient } from 'mqtt';
import type { Link, LinkEvent, Topic } from '../band/link.js';
import { hrtimeMs } from '../player/host.js';
import { addressText, type BrokerAddress } from './address.js';
import { Backoff } from './backoff.js';
import { mostPayload } from './frames.js';
import type { BandKeys } from './keys.js';
import { sealed, unsealed } from './seal.js';
import type { Seat } from './seat.js';
import { openSocket } from './socket.js';
import { readTopic, writtenTopic } from './topics.js';
import { sayTrouble, type Trouble } from './trouble.js';
import { type Outgoing, Waiting } from './waiting.js';

/** What is said for a stand that goes without a word, and when it closes. The broker keeps it where `retain` says so. */
export interface LastWord {
  readonly topic: Topic;
  readonly payload: Uint8Array;
  readonly retain: boolean;
}

/** How a link is opened. */
export interface LinkOptions {
  /** Where the broker is. Without a user it is taken for a band's own, where a stand comes in by the word. */
  readonly address: BrokerAddress;
  readonly keys: BandKeys;
  readonly seat: Seat;
  /** At one's own broker: the password that it was opened with. */
  readonly leaderPassword?: string | null;
  /** The only authorities to trust with TLS (PEM); without it the system's. */
  readonly ca?: Uint8Array | null;
  readonly lastWord?: LastWord | null;
  readonly onEvent: (event: LinkEvent) => void;
}

/** A link over MQTT. It connects again by itself until it is closed or refused. */
export interface OpenLink extends Link {
  /** Throws away what waits for a connection: what a stand that no longer leads had still to say. */
  forget(): void;
}

/** A broker that does not answer the first packet within so long is left, ms. */
const connectMs = 5000;
/** How often each side gives a sign of life, seconds: a silent connection is given up after one and a half times that. */
const keepalive = 5;
/** How long taking leave may last, ms. */
const closeMs = 700;
/** So many messages may be on their way unanswered; and so many bytes unsent, before what is fleeting is left out. */
const mostUnanswered = 64;
const mostUnsent = 1 << 20;
/** So many messages are kept that come before it is up: those that the broker keeps. */
const mostEarly = 256;

/** Opens a link to a band's broker, its own or another. Events begin with the next turn of the loop. */
export function openLink(options: LinkOptions): OpenLink {
  return new MqttLink(options);
}

class MqttLink implements OpenLink {
  private client: MqttClient | null = null;
  private up = false;
  private closed = false;
  private readonly topics = new Map<string, Topic>();
  private readonly waiting = new Waiting();
  private readonly unanswered = new Set<Outgoing>();
  private readonly backoff = new Backoff();
  /** What came between the broker's yes and the answer that it will be heard. */
  private early: LinkEvent[] = [];
  private retry: NodeJS.Timeout | null = null;
  private lastReason = '';

  constructor(private readonly options: LinkOptions) {
    setImmediate(() => this.connect());
  }

  publish(topic: Topic, payload: Uint8Array, { retain, qos }: { retain: boolean; qos: 0 | 1 }): void {
    if (this.closed) return;
    if (payload.length > mostPayload || writtenTopic(this.options.keys.band, topic) === null) {
      this.tell({
        kind: 'refused',
        reason: `a message of ${payload.length} bytes cannot be sent to the band; at most ${mostPayload} can`,
      });
      return;
    }
    const message: Outgoing = { topic, payload, retain, qos, at: hrtimeMs() };
    if (!this.up || this.unsent() > mostUnsent) this.waiting.add(message);
    else if (qos === 0 && !retain) this.send(message);
    else {
      this.waiting.add(message);
      this.flush();
    }
  }

  subscribe(topics: readonly Topic[]): void {
    const written = topics.flatMap((topic) => {
      const text = writtenTopic(this.options.keys.band, topic, true);
      return text === null ? [] : [[text, topic] as const];
    });
    for (const [text, topic] of written) this.topics.set(text, topic);
    if (this.up && written.length > 0)
      this.client?.subscribe(
        written.map(([text]) => text),
        { qos: 1 },
        () => {},
      );
  }

  forget(): void {
    this.waiting.take(hrtimeMs());
    this.unanswered.clear();
  }

  async close(): Promise<void> {
    if (this.closed) return;
    const { client } = this;
    const { lastWord } = this.options;
    if (this.up && lastWord) this.send({ ...lastWord, qos: 0, at: hrtimeMs() });
    this.closed = true;
    if (this.retry) clearTimeout(this.retry);
    if (!client) return;
    await new Promise<void>((resolve) => {
      const giveUp = setTimeout(() => {
        client.stream?.destroy();
        resolve();
      }, closeMs);
      client.stream?.once('close', () => {
        clearTimeout(giveUp);
        resolve();
      });
      // What is still to be answered is left: the broker has had it, or will not get it.
      if (this.up) client.end(false, () => {});
      else client.stream?.destroy();
    });
    this.up = false;
  }

  private connect(): void {
    if (this.closed) return;
    const { address, keys, seat, leaderPassword = null, ca = null, lastWord = null } = this.options;
    const { socket, arrived } = openSocket(address, ca, hrtimeMs);
    let trouble: Trouble = {};
    socket.on('error', (error: NodeJS.ErrnoException) => {
      trouble = { code: error.code, message: error.message };
    });
    const own = address.user === null;
    const client = new MqttClient(() => socket, {
      protocolVersion: 4,
      clientId: seat.id,
      username: own ? seat.token : (address.user ?? ''),
      password: own ? (leaderPassword ?? keys.password) : (address.password ?? ''),
      clean: true,
      keepalive,
      connectTimeout: connectMs,
      // Each connection is a new client: what waits, waits here, bounded.
      reconnectPeriod: 0,
      resubscribe: false,
      queueQoSZero: false,
      ...this.will(lastWord),
    });
    this.client = client;
    client.on('error', (error: Error & { code?: string | number }) => {
      trouble =
        error.message === 'connack timeout'
          ? { code: 'ETIMEDOUT' }
          : { code: error.code, message: error.message };
      // After what cannot be read, nothing can.
      socket.destroy();
    });
    client.on('connect', () => this.arrive(client));
    client.on('message', (text, payload) => this.hear(text, payload, arrived()));
    socket.on('close', () => this.lost(client, trouble));
  }

  private will(lastWord: LastWord | null): object {
    const { keys } = this.options;
    const topic = lastWord ? writtenTopic(keys.band, lastWord.topic) : null;
    if (!lastWord || topic === null) return {};
    const payload = sealed(keys.seal, lastWord.topic, lastWord.payload);
    return { will: { topic, payload, qos: 0, retain: lastWord.retain } };
  }

  /** The broker has let this stand in: what it wants to hear is asked for, and then it is up. */
  private arrive(client: MqttClient): void {
    if (this.client !== client || this.closed) return;
    const isUp = (): void => {
      if (this.client !== client || this.closed || this.up || !client.connected) return;
      this.up = true;
      this.lastReason = '';
      this.backoff.reset();
      this.tell({ kind: 'up', id: this.options.seat.id });
      for (const event of this.early.splice(0)) this.tell(event);
      this.flush();
    };
    const asked = new Set(this.topics.keys());
    if (asked.size === 0) isUp();
    else
      client.subscribe([...asked], { qos: 1 }, (error, _topics, answer) => {
        const granted = answer?.granted ?? [];
        if (error && granted.length > 0 && granted.every((code) => Number(code) >= 0x80))
          return this.refuse(
            `${addressText(this.options.address)} does not let this stand read what the band sends; ask whoever keeps it for the right to read and write barkline/#`,
          );
        const late = [...this.topics].filter(([text]) => !asked.has(text)).map(([, topic]) => topic);
        isUp();
        if (late.length > 0) this.subscribe(late);
      });
  }

  private hear(text: string, bytes: Uint8Array, at: number): void {
    const { band, seal } = this.options.keys;
    const topic = readTopic(band, text);
    const payload = topic && bytes.length <= mostPayload + 64 ? unsealed(seal, topic, bytes) : null;
    if (!topic || !payload || this.closed) return;
    const event: LinkEvent = { kind: 'message', topic, payload, at };
    if (this.up) this.tell(event);
    else if (this.early.length < mostEarly) this.early.push(event);
  }

  private lost(client: MqttClient, trouble: Trouble): void {
    if (this.client !== client) return;
    this.client = null;
    this.early = [];
    const wasUp = this.up;
    this.up = false;
    this.waiting.putBack([...this.unanswered]);
    this.unanswered.clear();
    if (this.closed) return;
    const { reason, final } = sayTrouble(this.options.address, trouble);
    if (final) {
      this.refuse(reason);
      return;
    }
    this.retry = setTimeout(() => this.connect(), this.backoff.next());
    // Each try that fails for the same reason is no news.
    if (wasUp || reason !== this.lastReason) this.tell({ kind: 'down', reason });
    this.lastReason = reason;
  }

  /** It is of no use to go on. */
  private refuse(reason: string): void {
    this.closed = true;
    this.up = false;
    this.client?.stream.destroy();
    this.tell({ kind: 'refused', reason });
  }

  /** Sends what waits, as far as it may be on its way. */
  private flush(): void {
    if (!this.up || this.waiting.size === 0) return;
    const all = this.waiting.take(hrtimeMs());
    const room = this.unsent() > mostUnsent ? 0 : Math.max(0, mostUnanswered - this.unanswered.size);
    for (const message of all.slice(0, room)) this.send(message);
    this.waiting.putBack(all.slice(room));
    if (this.waiting.size > 0 && this.unsent() > mostUnsent)
      this.client?.stream.once('drain', () => this.flush());
  }

  private send(message: Outgoing): void {
    const { client } = this;
    const { band, seal } = this.options.keys;
    const { topic, payload, retain, qos } = message;
    const text = writtenTopic(band, topic);
    if (!client || text === null) return;
    if (qos === 0) {
      client.publish(text, sealed(seal, topic, payload), { qos, retain }, () => {});
      return;
    }
    this.unanswered.add(message);
    client.publish(text, sealed(seal, topic, payload), { qos, retain }, (error) => {
      if (error) return;
      this.unanswered.delete(message);
      this.flush();
    });
  }

  private unsent(): number {
    return this.client?.stream.writableLength ?? 0;
  }

  private tell(event: LinkEvent): void {
    this.options.onEvent(event);
  }
}
