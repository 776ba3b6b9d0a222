import { randomBytes } from 'node:crypto';
import type { EventEmitter } from 'node:events';
import { Bonjour } from 'bonjour-service';
import { hrtimeMs } from '../../player/host.js';
import { ParentWatch } from '../../player/parent-watch.js';
import { ignoreTerminal } from '../ignore-terminal.js';
import type { Announcement, FromDiscovery, ToDiscovery } from './messages.js';
import { type Answer, announcementVersion, readService, serviceType } from './read-service.js';

/*
 * The process that announces a band on the local network, or looks for one: multicast DNS (RFC 6762) and DNS-based service discovery (RFC 6763),
 * by bonjour-service. What anybody on the network answers reaches nothing but this.
 */

const lookMs = 500;
/** How often the question is asked again while nothing was found, ms. */
const askMs = 1000;
let bonjour: Bonjour | null = null;
let leaving = false;

function tell(message: FromDiscovery): void {
  if (!process.connected) return;
  try {
    process.send?.(message, undefined, undefined, () => {});
  } catch {
    // The parent has just gone; the disconnect that follows ends this process.
  }
}

function failed(): void {
  tell({
    kind: 'failed',
    sentence:
      'bands cannot be announced or found on this network; give the address instead, as in join mqtt://HOST:PORT',
  });
}

function opened(): Bonjour {
  if (bonjour) return bonjour;
  const opening = new Bonjour({}, failed);
  // Its faults would end the process; the library keeps the object to itself.
  (opening as unknown as { server: { mdns: EventEmitter } }).server.mdns.on('error', failed);
  bonjour = opening;
  return opening;
}

function announce({ tag, name, port, id, turn }: Announcement): void {
  const service = opened().publish({
    // By chance, since two bands of one name may meet; a person is shown what is in the text.
    name: `band-${randomBytes(6).toString('hex')}`,
    type: serviceType,
    port,
    txt: { v: announcementVersion, tag, name, id, turn: String(turn) },
    probe: false,
  });
  service.on('up', () => tell({ kind: 'announced' }));
}

function find(tag: string | null): void {
  const seen = new Map<string, string>();
  const browser = opened().find({ type: serviceType });
  const hear = (kind: 'found' | 'gone') => (answer: Answer) => {
    const band = readService(answer);
    if (!band || (tag !== null && band.tag !== tag)) return;
    const key = `${band.tag} ${band.port} ${band.hosts[0]}`;
    if (kind === 'found' && seen.size < 64 && !seen.has(key)) tell({ kind, band });
    if (kind === 'found') seen.set(key, '');
    else if (seen.delete(key)) tell({ kind, band });
  };
  browser.on('up', hear('found'));
  browser.on('txt-update', hear('found'));
  browser.on('srv-update', hear('found'));
  browser.on('down', hear('gone'));
  setInterval(() => browser.update(), askMs);
}

function obey(message: ToDiscovery): void {
  if (leaving) return;
  if (message.kind === 'ping') tell({ kind: 'pong' });
  if (message.kind === 'quit') leave(0);
  if (message.kind === 'announce') announce(message.announcement);
  if (message.kind === 'find') find(message.tag);
}

/** Takes back what was announced, and ends. */
function leave(code: number): void {
  if (leaving) return;
  leaving = true;
  setTimeout(() => process.exit(code), 300);
  if (bonjour) bonjour.unpublishAll(() => process.exit(code));
  else process.exit(code);
}

const parent = new ParentWatch(Number(process.argv[2]) || process.ppid, hrtimeMs, () => leave(0));
process.on('message', (message) => obey(message as ToDiscovery));
process.on('disconnect', () => leave(0));
setInterval(parent.look, lookMs);
process.on('SIGTERM', () => leave(0));
ignoreTerminal();
process.on('uncaughtException', () => process.exit(1));
process.stderr.on('error', () => {});

tell({ kind: 'ready' });
