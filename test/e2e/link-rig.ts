import { connect, type Socket } from 'node:net';
import type { LinkEvent, Topic } from '../../src/band/link.js';
import type { Broker, OwnerEvent } from '../../src/link/broker.js';
import type { LinkOptions, OpenLink } from '../../src/link/client.js';
import { type BandKeys, bandKeys } from '../../src/link/keys.js';
import { newSeat, type Seat } from '../../src/link/seat.js';
import { connectPacket } from '../link/packets.js';
import { rules } from '../link/rules.js';
import { until } from './harness.js';

/** What is built: the broker's process runs only so. */
async function built<T>(name: string): Promise<T> {
  return import(new URL(`../../dist/link/${name}.js`, import.meta.url).href);
}
const { openBroker } = await built<typeof import('../../src/link/broker.js')>('broker');
const { openLink } = await built<typeof import('../../src/link/client.js')>('client');

/** One stand at a broker, and what it was told. */
export interface Stand {
  readonly seat: Seat;
  readonly link: OpenLink;
  readonly events: readonly LinkEvent[];
  /** The texts that came under topics of one kind. */
  readonly heard: (kind: string) => string[];
  readonly isUp: () => boolean;
}

/** A connection that says what a test wants it to say. */
export interface Stranger {
  readonly socket: Socket;
  readonly received: () => Buffer;
  readonly closed: () => boolean;
}

/** A band with its broker, for one test: everything of it ends with `end`. */
export class Band {
  readonly events: OwnerEvent[] = [];
  readonly leaderSeat = newSeat();
  port = 0;
  private readonly links: OpenLink[] = [];
  private readonly sockets: Socket[] = [];

  private constructor(
    readonly keys: BandKeys,
    private readonly opened: () => Broker,
  ) {}

  static async open(word = 'kolatirubamosidu'): Promise<Band> {
    let broker: Broker | null = null;
    const band: Band = new Band(await bandKeys(word), () => broker as Broker);
    broker = openBroker({
      keys: band.keys,
      seat: band.leaderSeat,
      rules,
      port: 0,
      host: '127.0.0.1',
      onEvent: (event) => {
        band.events.push(event);
        if (event.kind === 'listening') band.port = event.port;
      },
    });
    if (!(await until(() => band.port !== 0))) throw new Error(`no broker: ${JSON.stringify(band.events)}`);
    return band;
  }

  get broker(): Broker {
    return this.opened();
  }

  /** Joins as a stand that follows, or leads. */
  join(options: Partial<LinkOptions> = {}, topics: readonly Topic[] = [['state']]): Stand {
    const seat = options.seat ?? newSeat();
    const events: LinkEvent[] = [];
    let up = false;
    const link = openLink({
      address: { host: '127.0.0.1', port: this.port, tls: false, user: null, password: null },
      keys: this.keys,
      seat,
      ...options,
      onEvent: (event) => {
        events.push(event);
        if (event.kind !== 'message') up = event.kind === 'up';
        options.onEvent?.(event);
      },
    });
    this.links.push(link);
    link.subscribe([...topics, ['tell', seat.id]]);
    const heard = (kind: string): string[] =>
      events.flatMap((event) =>
        event.kind === 'message' && event.topic[0] === kind
          ? [Buffer.from(event.payload).toString('utf8')]
          : [],
      );
    return { seat, link, events, heard, isUp: () => up };
  }

  lead(
    topics: readonly Topic[] = [
      ['ask', '+'],
      ['here', '+'],
    ],
  ): Stand {
    return this.join({ seat: this.leaderSeat, leaderPassword: this.broker.leaderPassword }, topics);
  }

  /** Connects without the program's client. */
  stranger(): Stranger {
    const socket = connect({ host: '127.0.0.1', port: this.port });
    this.sockets.push(socket);
    let received = Buffer.alloc(0);
    let closed = false;
    socket.on('data', (piece) => {
      received = Buffer.concat([received, piece]);
    });
    socket.on('error', () => {});
    socket.on('close', () => {
      closed = true;
    });
    return { socket, received: () => received, closed: () => closed };
  }

  /** A connection that has said the right word, and that then says what a test wants. */
  async insider(seat = newSeat()): Promise<Stranger> {
    const stranger = this.stranger();
    stranger.socket.write(
      connectPacket({ id: seat.id, user: seat.token, password: this.keys.password, keepalive: 60 }),
    );
    await until(() => stranger.received().length >= 4);
    return stranger;
  }

  refusals(): string[] {
    return this.events.flatMap((event) => (event.kind === 'refused' ? [event.sentence] : []));
  }

  async end(): Promise<void> {
    for (const socket of this.sockets) socket.destroy();
    await Promise.all(this.links.map((link) => link.close()));
    await this.broker.close();
  }
}

/** Text as a payload. */
export function bytes(text: string): Uint8Array {
  return Buffer.from(text, 'utf8');
}
