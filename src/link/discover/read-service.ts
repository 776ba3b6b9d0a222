import { isIP } from 'node:net';
import { safeText } from '../../base/safe-text.js';
import { isId } from '../seat.js';
import type { FoundBand } from './messages.js';

/** The service type (RFC 6763 section 7): `_barkline._tcp`. */
export const serviceType = 'barkline';
/** Which sort of announcement this is; others are not ours to read. */
export const announcementVersion = '1';

/** An answer from the network, which may contain anything. */
export interface Answer {
  readonly port?: unknown;
  readonly txt?: unknown;
  readonly addresses?: unknown;
  readonly referer?: unknown;
}

/** Reads an answer as a band; `null` if it is not one. Where the answer came from can be reached for certain, so that is first. */
export function readService({ port, txt, addresses, referer }: Answer): FoundBand | null {
  const { v, tag, name, id, turn } = fieldsOf(txt);
  if (v !== announcementVersion || typeof tag !== 'string' || !/^[0-9a-f]{5}$/.test(tag)) return null;
  if (typeof id !== 'string' || !isId(id) || typeof turn !== 'string' || !/^[1-9]\d{0,5}$/.test(turn))
    return null;
  if (typeof port !== 'number' || !Number.isInteger(port) || port < 1 || port > 65_535) return null;
  const listed = Array.isArray(addresses) ? addresses.slice(0, 16) : [];
  const from = fieldsOf(referer).address;
  const hosts = [from, ...listed].filter(
    (host): host is string =>
      typeof host === 'string' &&
      isIP(host) !== 0 &&
      !/^(0\.|::$|22[4-9]|23)/.test(host) &&
      !lacksScope(host),
  );
  if (hosts.length === 0) return null;
  const shown = typeof name === 'string' && name.trim() !== '' ? name : 'a band';
  return {
    tag,
    name: safeText([...shown].slice(0, 40).join('')),
    hosts: [...new Set(hosts)],
    port,
    id,
    turn: Number(turn),
  };
}

/** A link-local address of IPv6 (fe80::/10) cannot be reached without its interface (RFC 4007), which records of DNS do not tell. */
function lacksScope(host: string): boolean {
  return /^fe[89ab][0-9a-f]:/i.test(host) && !host.includes('%');
}

function fieldsOf(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {};
}
