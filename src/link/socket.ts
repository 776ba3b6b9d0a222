import { connect as connectPlain, isIP, type Socket } from 'node:net';
import { connect as connectTls } from 'node:tls';
import type { BrokerAddress } from './address.js';
import { FrameWatch, mostPacket } from './frames.js';
import { systemAuthorities } from './trusted.js';

/** A connection to a broker that notes when things came. */
export interface StampedSocket {
  readonly socket: Socket;
  /** When the piece came that is being read now, by the clock given. */
  readonly arrived: () => number;
}

/**
 * Connects to a broker, without Nagle's delay (a time stamp that waits for others is late). With TLS the certificate must be trusted: by the authorities in `ca` alone (PEM),
 * or by the system's where none are given.
 */
export function openSocket(
  { host, port, tls }: BrokerAddress,
  ca: Uint8Array | null,
  now: () => number,
): StampedSocket {
  const where = { host, port, noDelay: true, keepAlive: true, keepAliveInitialDelay: 10_000 };
  const socket = tls
    ? connectTls({
        ...where,
        // The server is told by name which certificate is wanted (RFC 6066), and an address is not a name.
        ...(isIP(host) ? {} : { servername: host }),
        ca: ca ? [Buffer.from(ca)] : [...systemAuthorities()],
        minVersion: 'TLSv1.2',
      })
    : connectPlain(where);
  socket.setNoDelay(true);
  const watch = new FrameWatch(mostPacket);
  let at = now();
  // Before whoever reads: the piece's time, and whether anything in it is larger than this program takes.
  socket.on('data', (piece: Buffer) => {
    at = now();
    if (!watch.look(piece)) socket.destroy();
  });
  return { socket, arrived: () => at };
}
