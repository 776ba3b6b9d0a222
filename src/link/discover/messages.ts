/** What is announced of a band on the local network. */
export interface Announcement {
  /** What followers recognise their band by: derived from the word, which is never announced. */
  readonly tag: string;
  /** What a person knows it by. */
  readonly name: string;
  readonly port: number;
  /** The id of the stand that runs the broker. */
  readonly id: string;
  /** Which of the band's brokers it is: the first is 1, and one that takes the place of another one more. */
  readonly turn: number;
}

/** A band that was found. */
export interface FoundBand {
  readonly tag: string;
  /** Safe to show. */
  readonly name: string;
  /** Where to reach it, the likeliest first. */
  readonly hosts: readonly string[];
  readonly port: number;
  readonly id: string;
  readonly turn: number;
}

/** What the process that knows the local network is told. */
export type ToDiscovery =
  | { readonly kind: 'announce'; readonly announcement: Announcement }
  /** Looks for bands: with this tag, or all. */
  | { readonly kind: 'find'; readonly tag: string | null }
  | { readonly kind: 'ping' }
  | { readonly kind: 'quit' };

/** What it says. */
export type FromDiscovery =
  | { readonly kind: 'announced' }
  | { readonly kind: 'found'; readonly band: FoundBand }
  | { readonly kind: 'gone'; readonly band: FoundBand }
  /** The network cannot be asked: a sentence. */
  | { readonly kind: 'failed'; readonly sentence: string }
  | { readonly kind: 'ready' }
  | { readonly kind: 'pong' };
