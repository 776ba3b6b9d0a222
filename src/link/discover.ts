import { fileURLToPath } from 'node:url';
import type { Announcement, FoundBand, FromDiscovery, ToDiscovery } from './discover/messages.js';
import { KeptProcess } from './kept-process.js';

export type { Announcement, FoundBand } from './discover/messages.js';

/** What the owner of an announcement or a search is told. `failed`: a sentence; it is reported once. */
export type DiscoveryEvent =
  | { readonly kind: 'announced' }
  | { readonly kind: 'found'; readonly band: FoundBand }
  | { readonly kind: 'gone'; readonly band: FoundBand }
  | { readonly kind: 'failed'; readonly sentence: string };

/** An announcement or a search that goes on until it is closed. */
export interface Discovery {
  /** Takes it back; resolves when it is, after 1.5 s at most. */
  close(): Promise<void>;
}

/** A leader's answer takes a second on a slow network; a question may be lost, and is asked again each second. */
const usualMs = 4000;
/** When one has answered, others with the same tag may answer for this long, ms. */
const othersMs = 300;
const heapMegabytes = 64;

/** Announces a band on the local network. The word is not in it, only the tag made of it. */
export function announceBand(
  announcement: Announcement,
  onEvent: (event: DiscoveryEvent) => void,
): Discovery {
  return open({ kind: 'announce', announcement }, onEvent);
}

/** Looks for bands on the local network, those with this tag or all of them, until it is closed. */
export function browseBands(tag: string | null, onEvent: (event: DiscoveryEvent) => void): Discovery {
  return open({ kind: 'find', tag }, onEvent);
}

/** The result of a search. */
export type Found =
  | { readonly ok: true; readonly bands: readonly FoundBand[] }
  /** None: one sentence what, and what to do. */
  | { readonly ok: false; readonly sentence: string };

/**
 * Looks for bands for a while. With a tag it ends soon after the first that has it; without, all that were found by then are answered, in the order in which
 * they were. Several with one tag are tried in that order: a broker that has died may still be remembered, and a tag can be announced by anybody, though nothing be sealed with its word.
 *
 * @param ms how long
 */
export async function findBands(tag: string | null, ms = usualMs): Promise<Found> {
  const bands = new Map<string, FoundBand>();
  let sentence = noneFound(tag);
  let search: Discovery | null = null;
  await new Promise<void>((resolve) => {
    const timer = setTimeout(resolve, ms);
    search = browseBands(tag, (event) => {
      if (event.kind === 'failed') sentence = event.sentence;
      if (event.kind === 'found') bands.set(keyOf(event.band), event.band);
      if (event.kind === 'gone') bands.delete(keyOf(event.band));
      if (event.kind === 'failed' || (tag !== null && bands.size > 0)) {
        clearTimeout(timer);
        setTimeout(resolve, event.kind === 'failed' ? 0 : othersMs);
      }
    });
  });
  await (search as Discovery | null)?.close();
  return bands.size > 0 ? { ok: true, bands: [...bands.values()] } : { ok: false, sentence };
}

/** What is said where no band was found: with this tag, or any. */
export function noneFound(tag: string | null): string {
  const what = tag === null ? 'no band was found here' : 'no band with this word was found here';
  return `${what}; start the leader, or if the network has no multicast give its address, as in join mqtt://HOST:PORT`;
}

function keyOf({ tag, port, hosts }: FoundBand): string {
  return `${tag} ${port} ${hosts[0]}`;
}

function open(
  wanted: Extract<ToDiscovery, { kind: 'announce' | 'find' }>,
  onEvent: (event: DiscoveryEvent) => void,
): Discovery {
  let told = false;
  const failed = (sentence: string): void => {
    if (!told) onEvent({ kind: 'failed', sentence });
    told = true;
  };
  const file = fileURLToPath(new URL('./discover/process.js', import.meta.url));
  const kept: KeptProcess<ToDiscovery, FromDiscovery> = new KeptProcess(file, heapMegabytes, {
    onMessage: (message) => {
      if (message.kind === 'failed') failed(message.sentence);
      else if (message.kind !== 'ready' && message.kind !== 'pong') onEvent(message);
    },
    onDied: (_reason, again) => {
      if (again) kept.send(wanted);
      else
        failed(
          'bands can no longer be announced or found on this network; give the address instead, as in join mqtt://HOST:PORT',
        );
    },
  });
  kept.send(wanted);
  return { close: () => kept.quit() };
}
