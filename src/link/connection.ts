import { MqttClient } from 'mqtt';
import { hrtimeMs } from '../player/host.js';
import type { BrokerAddress } from './address.js';
import { openSocket } from './socket.js';
import type { Trouble } from './trouble.js';

/** How one connection to a broker is made. */
export interface ConnectionOptions {
  readonly address: BrokerAddress;
  readonly ca: Uint8Array | null;
  readonly id: string;
  readonly user: string;
  readonly password: string;
  /** What the broker should say when this connection ends without a goodbye. */
  readonly will: {
    readonly topic: string;
    readonly payload: Buffer;
    readonly retain: boolean;
    readonly qos: 0 | 1;
  } | null;
  /** What to hear, asked for as soon as the broker has let this stand in. */
  readonly topics: () => readonly string[];
  /** It was let in, and will hear what it asked for. */
  readonly onUp: () => void;
  /** It was let in, but of what it asked for it may hear nothing. */
  readonly onDenied: () => void;
  readonly onMessage: (topic: string, payload: Uint8Array, at: number) => void;
  /** It has gone, for whatever reason; told once, and nothing after it. */
  readonly onLost: (trouble: Trouble) => void;
}

/** A broker that does not answer the first packet within this time is left, ms. */
const connectMs = 5000;
/** How often each side gives a sign of life, seconds: a silent connection is given up after one and a half times that. */
const keepalive = 5;
/** How long taking leave may last, ms. */
const closeMs = 700;

/** One connection to a broker, by MQTT 3.1.1, which both our own broker and others speak. When it is lost it is of no further use. */
export class Connection {
  private readonly client: MqttClient;
  private readonly socket: ReturnType<typeof openSocket>['socket'];
  private readonly asked = new Set<string>();
  private trouble: Trouble = {};

  constructor(private readonly options: ConnectionOptions) {
    const { address, ca, id, user, password, will } = options;
    const { socket, arrived } = openSocket(address, ca, hrtimeMs);
    this.socket = socket;
    socket.on('error', (error: NodeJS.ErrnoException) => {
      this.trouble = { code: error.code, message: error.message };
    });
    this.client = new MqttClient(() => socket, {
      protocolVersion: 4,
      clientId: id,
      username: user,
      password,
      clean: true,
      keepalive,
      connectTimeout: connectMs,
      // The link keeps what waits, within limits, and decides when to try again.
      reconnectPeriod: 0,
      resubscribe: false,
      queueQoSZero: false,
      ...(will ? { will } : {}),
    });
    this.client.on('error', (error: Error & { code?: string | number }) => {
      const late = error.message === 'connack timeout';
      this.trouble = late ? { code: 'ETIMEDOUT' } : { code: error.code, message: error.message };
      // Once something cannot be read, nothing after it can.
      socket.destroy();
    });
    this.client.on('connect', () => this.letIn());
    this.client.on('message', (topic, payload) => options.onMessage(topic, payload, arrived()));
    socket.once('close', () => options.onLost(this.trouble));
  }

  /** Bytes that the network has not taken yet. */
  get unsent(): number {
    return this.socket.writableLength;
  }

  /** Bytes that came and went, of TCP's payload. */
  get traffic(): { readonly received: number; readonly sent: number } {
    return { received: this.socket.bytesRead, sent: this.socket.bytesWritten };
  }

  /** Calls back when the network has taken what was unsent. */
  whenSent(callback: () => void): void {
    this.socket.once('drain', callback);
  }

  /** Sends a message; `onTaken`: the broker has it, where that is confirmed (quality of service 1). */
  publish(
    topic: string,
    payload: Buffer,
    options: { retain: boolean; qos: 0 | 1 },
    onTaken?: () => void,
  ): void {
    this.client.publish(topic, payload, options, (error) => {
      if (!error) onTaken?.();
    });
  }

  /** Asks to hear more. `again`: also what was asked for before; the broker says once more what it keeps there (MQTT 3.1.1 section 3.8.4). */
  subscribe(topics: readonly string[], again = false): void {
    const wanted = topics.filter((topic) => again || !this.asked.has(topic));
    for (const topic of wanted) this.asked.add(topic);
    if (wanted.length > 0) this.ask(wanted, () => {});
  }

  /** Takes leave, or where `politely` is not wanted just ends; resolves when it is closed, after 0.7 s at most. */
  end(politely: boolean): Promise<void> {
    const { client, socket } = this;
    return new Promise((resolve) => {
      if (socket.destroyed) return resolve();
      const giveUp = setTimeout(() => socket.destroy(), closeMs);
      socket.once('close', () => {
        clearTimeout(giveUp);
        resolve();
      });
      if (politely && client.connected) client.end(false, () => {});
      else socket.destroy();
    });
  }

  private letIn(): void {
    const { onUp, topics } = this.options;
    const first = topics();
    for (const topic of first) this.asked.add(topic);
    if (first.length === 0) onUp();
    else
      this.ask(first, () => {
        onUp();
        // What was asked for while the answer was on its way.
        this.subscribe(topics());
      });
  }

  private ask(topics: readonly string[], then: () => void): void {
    this.client.subscribe([...topics], { qos: 1 }, (error, _topics, answer) => {
      const granted = answer?.granted ?? [];
      // Without an answer the connection has gone, which is reported elsewhere.
      if (error && granted.length === 0) return;
      if (granted.some((code) => Number(code) < 0x80)) then();
      else this.options.onDenied();
    });
  }
}
