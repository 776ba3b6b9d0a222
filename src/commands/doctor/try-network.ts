import { createSocket } from 'node:dgram';
import { connect } from 'node:net';
import { networkInterfaces } from 'node:os';
import { addressText, type BrokerAddress } from '../../link/address.js';
import { openBroker } from '../../link/broker.js';
import { Connection } from '../../link/connection.js';
import { serviceQuestion } from '../../link/discover/question.js';
import { newSeat } from '../../link/seat.js';
import { sayTrouble } from '../../link/trouble.js';
import type { FoundBroker } from './judge-rest.js';
import type { Trial } from './verdict.js';

/** Where questions go by multicast DNS (RFC 6762 section 3). */
const multicast = { address: '224.0.0.251', port: 5353 } as const;
/** This machine, as no other can reach it. */
const alone = '127.0.0.1';

/** Checks that a broker answers by MQTT, with the user of its address. */
export function tryBroker(seconds: number, address: BrokerAddress): Promise<Trial<FoundBroker>> {
  const found = { kind: 'found', found: { address: addressText(address), own: false } } as const;
  return limited(seconds, (done) => {
    const connection = new Connection({
      address,
      ca: null,
      id: newSeat().id,
      user: address.user ?? '',
      password: address.password ?? '',
      will: null,
      topics: () => [],
      onUp: () => done(found),
      onDenied: () => done(found),
      onMessage: () => {},
      onLost: (trouble) => {
        // A band's own broker lets nobody in without its word: that it says so is an answer.
        const answers = address.user === null && (trouble.code === 4 || trouble.code === 5);
        done(answers ? found : { kind: 'failed', why: sayTrouble(address, trouble).reason });
      },
    });
    return () => connection.end(true);
  });
}

/** Opens a broker of our own for this machine alone, on a free port, connects to it, and closes it. */
export function tryOwnBroker(seconds: number): Promise<Trial<FoundBroker>> {
  return limited(seconds, (done) => {
    const broker = openBroker({
      keys: { band: 'doctor', password: newSeat().token },
      seat: newSeat(),
      host: alone,
      onEvent: (event) => {
        if (event.kind === 'failed') done({ kind: 'failed', why: event.sentence });
        else if (event.kind === 'died') done({ kind: 'died', why: event.sentence });
        else if (event.kind === 'listening') {
          const { port } = event;
          const socket = connect({ host: alone, port });
          socket.on('error', (error: NodeJS.ErrnoException) =>
            done({
              kind: 'failed',
              why: `it listens on port ${port} and cannot be reached there (${error.code ?? error.message}); check that no firewall blocks it`,
            }),
          );
          socket.on('connect', () => {
            socket.destroy();
            done({
              kind: 'found',
              found: { address: addressText({ host: alone, port, tls: false }), own: true },
            });
          });
        }
      },
    });
    return () => broker.close();
  });
}

/** Asks the local network for bands by multicast, once, and listens whether the question is heard. */
export function tryDiscovery(seconds: number): Promise<Trial<{ heard: boolean }>> {
  const question = serviceQuestion();
  return limited<{ heard: boolean }>(
    seconds,
    (done) => {
      const socket = createSocket({ type: 'udp4', reuseAddr: true });
      const failed = (error: NodeJS.ErrnoException): void =>
        done({
          kind: 'failed',
          why: `bands cannot be found on this network (${error.code ?? error.message})`,
        });
      socket.on('error', failed);
      // Others may ask the same in this moment.
      socket.on('message', (message, { address }) => {
        if (message.equals(question) && isOwn(address)) done({ kind: 'found', found: { heard: true } });
      });
      socket.bind(multicast.port, () => {
        try {
          socket.addMembership(multicast.address);
          socket.setMulticastLoopback(true);
          socket.send(question, multicast.port, multicast.address, (error) => {
            if (error) failed(error);
          });
        } catch (error) {
          failed(error as NodeJS.ErrnoException);
        }
      });
      return async () => {
        socket.close();
      };
    },
    { kind: 'found', found: { heard: false } },
  );
}

function isOwn(address: string): boolean {
  return Object.values(networkInterfaces()).some((all) => all?.some((one) => one.address === address));
}

/** Runs what answers once, with a limit; then what it opened is closed. */
async function limited<T>(
  seconds: number,
  begin: (done: (trial: Trial<T>) => void) => () => Promise<void>,
  late: Trial<T> = { kind: 'late', seconds },
): Promise<Trial<T>> {
  let close: () => Promise<void> = async () => {};
  const trial = await new Promise<Trial<T>>((resolve) => {
    const limit = setTimeout(() => resolve(late), 1000 * seconds);
    close = begin((one) => {
      clearTimeout(limit);
      resolve(one);
    });
  });
  await close();
  return trial;
}
