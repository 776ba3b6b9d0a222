import { createServer, type Server, type Socket } from 'node:net';
import { Aedes } from 'aedes';
import { usualPort } from '../address.js';
import { Access, mostStands } from './access.js';
import { ownAddresses } from './addresses.js';
import { Bucket } from './bucket.js';
import { Kept } from './kept.js';
import type { BrokerEvent, ServeOptions } from './messages.js';
import { Visitors } from './visitors.js';

/** Connections beside the stands that have not said yet who they are. */
const mostStrangers = 32;
/** How long a connection may take to say who it is, ms; and a stand to read what it is sent. */
const connectMs = 5000;
const drainMs = 15_000;
/** A stand must give a sign of life at least this often, seconds, and say so. */
const mostKeepalive = 60;
/** The reason why somebody was not let in is reported this often at most. */
const tellings = { perSecond: 2, atOnce: 10 };

/** The band's broker: MQTT 3.1.1 by aedes, which this sets bounds to. To be run in a process of its own. */
export class BandBroker {
  private readonly aedes: Aedes;
  private readonly server: Server;
  private readonly visitors: Visitors;
  private readonly access: Access;
  private readonly kept: Kept;
  private readonly told = new Bucket(tellings);

  /**
   * @param now ms of a clock that runs on
   * @param onEvent is called with what happens, from `open` on
   */
  constructor(
    private readonly options: ServeOptions,
    private readonly now: () => number,
    private readonly onEvent: (event: BrokerEvent) => void,
  ) {
    this.aedes = new Aedes({
      // Without a bound: one stand that reads slowly would otherwise hold up the messages of all.
      concurrency: 0,
      connectTimeout: connectMs,
      drainTimeout: drainMs,
      keepaliveLimit: mostKeepalive,
      maxInflightInbound: 1,
      maxTopicLevels: 10,
    });
    this.visitors = new Visitors(now);
    this.kept = new Kept((topic) => this.letGo(topic));
    const { visitors, kept } = this;
    this.access = new Access(options, {
      visitors,
      kept,
      now,
      onRefused: (address, sentence) => this.refused(address, sentence),
    });
    this.access.guard(this.aedes);
    this.listenToStands();
    this.server = createServer((socket) => this.welcome(socket));
    this.server.maxConnections = mostStands + mostStrangers;
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
        this.onEvent({ kind: 'trouble', sentence: `the band’s port has failed (${error.message})` });
      else if (error.code === 'EADDRINUSE' && port === null && tried !== 0) {
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
    this.access.leader = id;
    const client = this.visitors.stands.get(id);
    if (client) this.visitors.of(client)?.guard.leads();
  }

  /** Ends a stand's connection and keeps it away, with its address, unless other stands or this machine have the same. */
  turnAway(id: string): void {
    this.access.turnAway(id);
    this.visitors.stands.get(id)?.close();
  }

  /** Ends all connections and stops listening. */
  async close(): Promise<void> {
    this.server.close();
    await new Promise<void>((resolve) => this.aedes.close(() => resolve()));
  }

  private welcome(socket: Socket): void {
    socket.on('error', () => {});
    // An IPv4 address is shown as what it is, although the socket listens for both.
    const address = socket.remoteAddress?.replace(/^::ffff:(?=\d+\.)/i, '');
    if (!address || !this.visitors.mayConnect(address)) {
      socket.destroy();
      return;
    }
    socket.setNoDelay(true);
    socket.setKeepAlive(true, 10_000);
    this.aedes.handle(socket).on('error', () => {});
    this.visitors.add(socket, address, (why) =>
      this.refused(address, `a connection from ${address} was ended: ${why}`),
    );
  }

  private listenToStands(): void {
    const { aedes, visitors, kept } = this;
    aedes.on('clientReady', (client) => {
      visitors.stands.set(client.id, client);
      kept.back(client.id);
      this.onEvent({ kind: 'joined', id: client.id, address: visitors.of(client)?.address ?? '' });
    });
    aedes.on('clientDisconnect', (client) => {
      if (visitors.stands.get(client.id) !== client) return;
      visitors.stands.delete(client.id);
      kept.gone(client.id, this.now());
      this.onEvent({ kind: 'left', id: client.id });
    });
    // Nothing that goes wrong with one connection or message ends the broker.
    aedes.on('clientError', () => {});
    aedes.on('connectionError', () => {});
    (aedes as NodeJS.EventEmitter).on('error', () => {});
  }

  /** Makes the broker forget the last message of a topic. */
  private letGo(topic: string): void {
    const nothing = { payload: Buffer.alloc(0), qos: 0, retain: true, dup: false } as const;
    this.aedes.publish({ cmd: 'publish', topic, ...nothing }, () => {});
  }

  private refused(address: string, sentence: string): void {
    if (this.told.take(1, this.now())) this.onEvent({ kind: 'refused', address, sentence });
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
