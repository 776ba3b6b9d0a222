import { createServer, type Server, type Socket } from 'node:net';
import { Aedes } from 'aedes';
import { usualPort } from '../address.js';
import { sealBytes } from '../seal.js';
import { readTopic } from '../topics.js';
import { ownAddresses } from './addresses.js';
import { addressKey } from './attempts.js';
import { Bucket } from './bucket.js';
import { Door } from './door.js';
import { Guard } from './guard.js';
import { Kept } from './kept.js';
import type { BrokerEvent, ServeOptions } from './messages.js';
import { anyId, isAllowed, ruleFor } from './rules.js';

/** Stands that may be there at once, and connections beside them that have not said yet who they are. */
const mostStands = 64;
const mostStrangers = 32;
/** How long a connection may take to say who it is, ms; and a stand to read what it is sent. */
const connectMs = 5000;
const drainMs = 15_000;
/** A stand must say how often it gives a sign of life, and no more seldom than this, seconds. */
const mostKeepalive = 60;
/** So often an address may connect. */
const connections = { perSecond: 4, atOnce: 80 };
/** What is sent where nobody may: out of everybody's hearing. */
const nowhere = '$SYS/refused';
/** A stand that writes so often where it may not is cut off. */
const mostForbidden = { perSecond: 1, atOnce: 50 };
/** Why somebody was not let in is told so often. */
const tellings = { perSecond: 2, atOnce: 10 };

type BrokerClient = Parameters<Aedes['preConnect']>[0];

interface Visitor {
  readonly guard: Guard;
  readonly address: string;
  readonly forbidden: Bucket;
}

/** The band's broker: MQTT 3.1.1 by aedes, which this sets bounds to. To be run in a process of its own. */
export class BandBroker {
  private readonly aedes: Aedes;
  private readonly server: Server;
  private readonly door: Door;
  private readonly kept: Kept;
  private readonly visitors = new WeakMap<object, Visitor>();
  private readonly stands = new Map<string, BrokerClient>();
  private readonly arrivals = new Map<string, Bucket>();
  private readonly told = new Bucket(tellings);
  private leader: string;

  constructor(
    private readonly options: ServeOptions,
    private readonly now: () => number,
    private readonly onEvent: (event: BrokerEvent) => void,
  ) {
    this.leader = options.leader.id;
    this.door = new Door(options, now);
    this.aedes = new Aedes({
      // Without a bound: one stand that reads slowly would otherwise hold up the messages of all.
      concurrency: 0,
      connectTimeout: connectMs,
      drainTimeout: drainMs,
      keepaliveLimit: mostKeepalive,
      maxInflightInbound: 1,
      maxTopicLevels: 10,
    });
    this.kept = new Kept((topic) =>
      this.aedes.publish(
        { cmd: 'publish', topic, payload: Buffer.alloc(0), qos: 0, retain: true, dup: false },
        () => {},
      ),
    );
    this.server = createServer((socket) => this.welcome(socket));
    this.server.maxConnections = mostStands + mostStrangers;
    this.setRules();
  }

  /** Begins to listen; `listening` or `failed` follows. */
  async open(): Promise<void> {
    await this.aedes.listen();
    const { host, port } = this.options;
    const listen = (number: number): void => {
      this.server.listen({ port: number, ...(host === null ? {} : { host }) });
    };
    let tried = port ?? usualPort;
    this.server.on('error', (error: NodeJS.ErrnoException) => {
      if (this.server.listening)
        return this.onEvent({ kind: 'trouble', sentence: `the band’s port has failed (${error.message})` });
      if (error.code === 'EADDRINUSE' && port === null && tried !== 0) {
        tried = 0;
        listen(0);
      } else this.onEvent({ kind: 'failed', sentence: whyNot(error, tried) });
    });
    this.server.on('listening', () => {
      const address = this.server.address();
      if (address && typeof address === 'object')
        this.onEvent({ kind: 'listening', port: address.port, addresses: ownAddresses() });
    });
    listen(tried);
  }

  /** Another stand leads from now on. */
  setLeader(id: string): void {
    this.leader = id;
    const client = this.stands.get(id);
    if (client) this.visitors.get(client.conn)?.guard.leads();
  }

  /** Ends a stand's connection and keeps it away, with its address, unless other stands or this machine have the same. */
  turnAway(id: string): void {
    const client = this.stands.get(id);
    const address = client ? this.addressOf(client) : null;
    const shared = [...this.stands].some(
      ([other, stand]) => other !== id && addressKey(this.addressOf(stand)) === addressKey(address ?? ''),
    );
    this.door.turnAway(id, shared ? null : address);
    client?.close();
  }

  /** Ends all connections and listens no longer. */
  async close(): Promise<void> {
    this.server.close();
    await new Promise<void>((resolve) => this.aedes.close(() => resolve()));
  }

  private welcome(socket: Socket): void {
    socket.on('error', () => {});
    // An IPv4 address is shown as what it is, although the socket listens for both.
    const address = socket.remoteAddress?.replace(/^::ffff:(?=\d+\.)/i, '');
    if (!address || !this.mayConnect(addressKey(address))) return void socket.destroy();
    socket.setNoDelay(true);
    socket.setKeepAlive(true, 10_000);
    const client = this.aedes.handle(socket);
    const guard = new Guard(socket, this.now, (why) =>
      this.refused(address, `a connection from ${address} was ended: ${why}`),
    );
    this.visitors.set(socket, { guard, address, forbidden: new Bucket(mostForbidden) });
    client.on('error', () => {});
  }

  private addressOf(client: BrokerClient): string {
    return this.visitors.get(client.conn)?.address ?? '';
  }

  private mayConnect(key: string): boolean {
    if (this.arrivals.size > 4096) this.arrivals.clear();
    const bucket = this.arrivals.get(key) ?? new Bucket(connections);
    this.arrivals.set(key, bucket);
    return bucket.take(1, this.now());
  }

  private refused(address: string, sentence: string): void {
    if (this.told.take(1, this.now())) this.onEvent({ kind: 'refused', address, sentence });
  }

  private setRules(): void {
    const { aedes } = this;
    aedes.on('clientReady', (client) => {
      const visitor = this.visitors.get(client.conn);
      if (!visitor) return;
      this.stands.set(client.id, client);
      this.kept.back(client.id);
      this.onEvent({ kind: 'joined', id: client.id, address: visitor.address });
    });
    aedes.on('clientDisconnect', (client) => {
      if (this.stands.get(client.id) !== client) return;
      this.stands.delete(client.id);
      this.kept.gone(client.id, this.now());
      this.onEvent({ kind: 'left', id: client.id });
    });
    aedes.on('clientError', () => {});
    aedes.on('connectionError', () => {});
    // Nothing that goes wrong with one message ends the broker.
    (aedes as NodeJS.EventEmitter).on('error', () => {});
    // What a session keeps for a stand that is away would have no bound: the program asks for none.
    aedes.preConnect = (_client, packet, done) =>
      // With an error, since a plain no would leave the connection open and unwatched.
      packet.clean === true
        ? done(null, true)
        : done(new Error('sessions do not outlast connections'), false);
    aedes.authenticate = (client, user, password, done) => {
      const visitor = this.visitors.get(client.conn);
      const full = this.stands.size >= mostStands && !this.stands.has(client.id);
      const address = visitor?.address ?? '';
      const entry = this.door.judge({ id: client.id, address, user, password, full });
      if (visitor && entry.kind === 'in') {
        visitor.guard.joined();
        if (client.id === this.leader) visitor.guard.leads();
        return done(null, true);
      }
      const { code, sentence, delayMs } = entry.kind === 'in' ? this.door.closed() : entry;
      this.refused(address, sentence);
      const error = Object.assign(new Error(sentence), { returnCode: code });
      setTimeout(() => done(error, false), delayMs);
    };
    aedes.authorizePublish = (client, packet, done) => {
      if (!client || !this.mayWrite(client, packet)) {
        // MQTT 3.1.1 has no answer that says no (3.3.5): the message goes where nobody hears it.
        packet.topic = nowhere;
        packet.payload = Buffer.alloc(0);
        packet.retain = false;
        packet.qos = 0;
      }
      done(null);
    };
    aedes.authorizeSubscribe = (_client, subscription, done) => {
      const topic = readTopic(this.options.band, subscription.topic, true);
      const known = topic !== null && ruleFor(this.options.rules, topic) !== undefined;
      // Who leads can change later: whether somebody may read is asked at each message.
      done(null, known ? { ...subscription, qos: subscription.qos === 0 ? 0 : 1 } : null);
    };
    aedes.authorizeForward = (client, packet) => {
      const visitor = this.visitors.get(client.conn);
      const topic = readTopic(this.options.band, packet.topic);
      const rule = topic ? ruleFor(this.options.rules, topic) : undefined;
      if (!visitor || !topic || !rule) return null;
      return isAllowed(rule.read, rule, topic, client.id, this.leader) && visitor.guard.reads()
        ? packet
        : null;
    };
  }

  private mayWrite(client: BrokerClient, packet: Parameters<Aedes['authorizePublish']>[1]): boolean {
    const topic = readTopic(this.options.band, packet.topic);
    const rule = topic ? ruleFor(this.options.rules, topic) : undefined;
    const allowed =
      topic !== null &&
      rule !== undefined &&
      packet.qos < 2 &&
      packet.payload.length <= rule.most + sealBytes &&
      (rule.retain || !packet.retain) &&
      isAllowed(rule.write, rule, topic, client.id, this.leader);
    if (allowed && packet.retain && rule.topic.includes(anyId)) this.kept.keeps(client.id, packet.topic);
    if (!allowed) this.forbid(client);
    return allowed;
  }

  private forbid(client: BrokerClient): void {
    const visitor = this.visitors.get(client.conn);
    if (!visitor || visitor.forbidden.take(1, this.now()) || client.closed) return;
    this.refused(visitor.address, `${client.id} was cut off: it writes where it may not`);
    client.close();
  }
}

function whyNot(error: NodeJS.ErrnoException, port: number): string {
  switch (error.code) {
    case 'EADDRINUSE':
      return `port ${port} is in use by another program; choose another with --port, or leave it out`;
    case 'EACCES':
      return `port ${port} may not be opened by this user; choose one above 1023 with --port`;
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
      return 'that address is not this machine’s; leave it out to listen on all of them';
    default:
      return `the band’s port ${port} cannot be opened (${error.code ?? error.message}); choose another with --port`;
  }
}
