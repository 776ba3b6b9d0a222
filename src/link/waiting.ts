import type { Topic } from '../band/link.js';

/** A message on its way out. `at`: when it was published, ms. */
export interface Outgoing {
  readonly topic: Topic;
  readonly payload: Uint8Array;
  readonly retain: boolean;
  readonly qos: 0 | 1;
  readonly at: number;
}

const mostOthers = 64;
const mostKept = 128;
const mostBytes = 8 << 20;
/** A request that is older than this is no longer what is wanted, ms. */
const stale = 10_000;

/**
 * What waits for a connection. Of what the broker is to keep the last of each topic; of what is to arrive for certain (quality of service 1) the last few, for ten seconds; nothing else,
 * since a time stamp that waited is of no use. Bounded in number and bytes: what waited longest goes first.
 */
export class Waiting {
  private messages: Outgoing[] = [];
  private bytes = 0;

  /** How many wait. */
  get size(): number {
    return this.messages.length;
  }

  /** Keeps a message, if it should wait. */
  add(message: Outgoing): void {
    const { retain, qos, topic } = message;
    if (!retain && qos === 0) return;
    const same = (other: Outgoing): boolean => retain && other.retain && sameTopic(other.topic, topic);
    this.keep([...this.messages.filter((other) => !same(other)), message]);
    while (this.bytes > mostBytes || this.count(true) > mostKept || this.count(false) > mostOthers) {
      const crowded = this.count(false) > mostOthers ? false : this.count(true) > mostKept ? true : null;
      const first = this.messages.findIndex((other) => crowded === null || other.retain === crowded);
      this.keep(this.messages.filter((_, at) => at !== first));
    }
  }

  /** Puts back what was sent and perhaps did not arrive, in front of what came since. */
  putBack(messages: readonly Outgoing[]): void {
    const later = this.messages;
    this.keep([]);
    for (const message of [...messages, ...later]) this.add(message);
  }

  /** Takes out what may go now, in the order in which it came. */
  take(at: number): readonly Outgoing[] {
    const { messages } = this;
    this.keep([]);
    return messages.filter((message) => message.retain || at - message.at <= stale);
  }

  private count(retain: boolean): number {
    return this.messages.reduce((sum, message) => sum + Number(message.retain === retain), 0);
  }

  private keep(messages: Outgoing[]): void {
    this.messages = messages;
    this.bytes = messages.reduce((sum, { payload }) => sum + payload.length, 0);
  }
}

function sameTopic(one: Topic, other: Topic): boolean {
  return one.length === other.length && one.every((level, at) => level === other[at]);
}
