import type { TopicRule } from './rules.js';

/** What a broker is opened with. */
export interface ServeOptions {
  readonly band: string;
  /** What followers join with. */
  readonly password: string;
  /** The leader's id, and a password of its own: it is let in whatever others have tried. */
  readonly leader: { readonly id: string; readonly password: string };
  readonly rules: readonly TopicRule[];
  /** Where to listen; `null`: on all of the machine's addresses. */
  readonly host: string | null;
  /** The port; `null`: the usual one, or any that is free. */
  readonly port: number | null;
}

/** What the owner tells the broker's process. */
export type ToBroker =
  | { readonly kind: 'open'; readonly options: ServeOptions }
  | { readonly kind: 'leader'; readonly id: string }
  | { readonly kind: 'turn-away'; readonly id: string }
  | { readonly kind: 'ping' }
  | { readonly kind: 'quit' };

/** What happens at the broker. */
export type BrokerEvent =
  /** It listens. `addresses`: this machine's on the network, the likeliest first. */
  | { readonly kind: 'listening'; readonly port: number; readonly addresses: readonly string[] }
  /** It cannot be opened: a sentence. */
  | { readonly kind: 'failed'; readonly sentence: string }
  | { readonly kind: 'joined'; readonly id: string; readonly address: string }
  | { readonly kind: 'left'; readonly id: string }
  /** Somebody was not let in, or was cut off: a sentence. At most a few a second. */
  | { readonly kind: 'refused'; readonly address: string; readonly sentence: string }
  /** Something went wrong; the broker goes on. */
  | { readonly kind: 'trouble'; readonly sentence: string };

/** Everything that the broker's process says. */
export type FromBroker = BrokerEvent | { readonly kind: 'ready' } | { readonly kind: 'pong' };
