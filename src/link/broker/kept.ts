/** The messages of this many departed stands stay at the broker. */
const mostGone = 16;
/** And for this long, ms: a stand that lost its network finds it as it was. */
const stayMs = 60_000;

/**
 * Remembers which topics of stands the broker keeps a last message of, and lets them go some time after their stand has gone: without it, stands that come
 * and go under ever new ids would fill the memory. Times are ms of any clock that runs on.
 */
export class Kept {
  private readonly topics = new Map<string, Set<string>>();
  private readonly left = new Map<string, number>();

  /** @param release makes the broker forget the last message of a topic */
  constructor(private readonly release: (topic: string) => void) {}

  /** A stand has a message kept under a topic. */
  keeps(id: string, topic: string): void {
    const topics = this.topics.get(id) ?? new Set();
    this.topics.set(id, topics.add(topic));
  }

  /** A stand is there, again or for the first time. */
  back(id: string): void {
    this.left.delete(id);
  }

  /** A stand has gone. What others left long ago is dropped. */
  gone(id: string, at: number): void {
    if (this.topics.has(id)) this.left.set(id, at);
    for (const [other, since] of this.left)
      if (at - since > stayMs || this.left.size > mostGone) this.letGo(other);
  }

  private letGo(id: string): void {
    for (const topic of this.topics.get(id) ?? []) this.release(topic);
    this.topics.delete(id);
    this.left.delete(id);
  }
}
