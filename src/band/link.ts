/** A topic below the band's own prefix, e.g. ['clock', id]. */
export type Topic = readonly string[];

/** What carries the band's messages. Nothing of it throws or waits. */
export interface Link {
  publish(topic: Topic, payload: Uint8Array, options: { retain: boolean; qos: 0 | 1 }): void;
  /**
   * `+` stands for any one level. Holds for all connections of the link. What was subscribed to before comes once more as far as it is kept,
   * unless it has just come since the link is up.
   */
  subscribe(topics: readonly Topic[]): void;
  close(): Promise<void>;
}

/** What a link tells its owner. Reasons are sentences for a person. */
export type LinkEvent =
  | { kind: 'up'; id: string }
  | { kind: 'down'; reason: string }
  /** `at`: arrival, ms of the monotonic clock that all processes of a machine share. */
  | { kind: 'message'; topic: Topic; payload: Uint8Array; at: number }
  | { kind: 'refused'; reason: string };
