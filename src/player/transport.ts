import { eventSize } from '../time/event.js';
import { leadEnd, releasedMsPerTick, type Segment, type Span, tickAt, timeAt } from '../time/segment.js';

/** A segment in its place in time: once for each time it is played. */
export interface Instance {
  readonly segment: Segment;
  readonly startTick: number;
  /** The tick of the segment that is at `startTick`. */
  readonly skip: number;
  /** Half open; moved nearer when what follows is replaced. */
  endTick: number;
  /** Time runs through these, sorted; the first holds at `startTick`. Others when time that stood still before it goes on. */
  spans: readonly Span[];
  /** Time stood still in it and goes on. */
  released: boolean;
}

/** Transport tick of an event of an instance. */
export function eventTick(instance: Instance, index: number): number {
  return instance.startTick - instance.skip + (instance.segment.events[index * eventSize] as number);
}

/**
 * The queue of segments put onto the clock. Ticks only grow. It knows no wall clock: the times of its spans
 * follow from the anchor given to `start`.
 */
export class Transport {
  private queue: Segment[] = [];
  private instances: Instance[] = [];
  private anchor: Span = { tick: 0, time: 0, msPerTick: 1 };
  /** The line that time runs along as somebody else says; while there is one, the segments' own tempos do not hold. */
  private followed: readonly Span[] | null = null;
  /** Grows whenever instances come or go, so that spans need not be compared to see whether they changed. */
  version = 0;

  /** Appends segments after all that is queued. */
  append(segments: readonly Segment[]): void {
    this.queue.push(...segments);
  }

  /** From `tick` on, `segments` are what is played. Where time stands still at that tick, it goes on there at `now`. */
  replace(tick: number, segments: readonly Segment[], now = Number.NEGATIVE_INFINITY): void {
    // What is queued before the tick is still played: it gets its place first.
    for (let last = this.instances.at(-1) ?? null; last && last.endTick < tick; last = this.make(last));
    const begun = this.instances.filter((instance) => instance.startTick < tick);
    const last = begun.at(-1);
    const dropped = this.instances[begun.length];
    if (last && tick < last.endTick) this.passOver(last, now);
    if (last) {
      last.endTick = Math.min(last.endTick, tick);
      this.anchor = spanAt(last.spans, tick);
    } else if (dropped) {
      this.anchor = spanAt(dropped.spans, tick);
    }
    this.instances = begun;
    this.queue = [...segments];
    this.version += 1;
  }

  /** Time goes on after the segment in which it stands still: what comes next begins at `time`. Returns whether it stood still. */
  release(id: number, time: number): boolean {
    const held = this.instances.find(({ segment }) => segment.id === id);
    return held !== undefined && this.passOver(held, time);
  }

  private passOver(held: Instance, time: number): boolean {
    if (!held.segment.holds || held.released) return false;
    const [first] = held.spans;
    const start = first ? timeAt([first], held.startTick) : time;
    held.released = true;
    // Until then it stands still as before: an output may want what comes well ahead.
    const goesOn = { tick: held.startTick, time: Math.max(time, start), msPerTick: releasedMsPerTick };
    held.spans = first ? [{ ...first, tick: held.startTick, time: start }, goesOn] : [goesOn];
    // What was placed after it was not to come for ages: it comes now.
    for (let index = this.instances.indexOf(held) + 1; index < this.instances.length; index += 1) {
      const here = this.instances[index] as Instance;
      const before = this.instances[index - 1] as Instance;
      here.spans = spansOf(
        here.segment,
        here.startTick,
        here.skip,
        here.endTick - here.startTick,
        spanAt(before.spans, here.startTick),
      );
    }
    this.version += 1;
    return true;
  }

  /** Puts transport tick `tick` at time `time`; what was played before is forgotten, what comes from there on stays, though it had its place already. */
  start(tick: number, time: number): void {
    const placed = new Set(this.instances.map(({ segment }) => segment));
    this.instances = [];
    this.queue = [...placed, ...this.queue].filter(
      (segment) => segment.startTick >= tick || segment.onEnd === 'repeat',
    );
    this.anchor = { tick, time, msPerTick: Number.NaN };
    this.version += 1;
  }

  /** Time runs through this span, as an external clock says, or along these; or by the segments' own tempos again (`null`). */
  follow(line: Span | readonly Span[] | null): void {
    this.followed = line === null || 'length' in line ? line : [line];
    if (this.followed?.length === 0) this.followed = null;
  }

  /** Time runs by the segments' own tempos again, on from where it is at `time` (ms). */
  leaveLine(time: number): void {
    const { followed } = this;
    if (!followed) return;
    const tick = tickAt(followed, time);
    this.followed = null;
    const at = this.instances.findLastIndex((instance) => instance.startTick <= tick);
    const here = this.instances[Math.max(0, at)];
    const off = here ? time - timeAt(here.spans, tick) : time - this.anchor.time;
    for (const instance of this.instances)
      instance.spans = instance.spans.map((span) => ({ ...span, time: span.time + off }));
    this.anchor = { ...this.anchor, time: this.anchor.time + off };
    this.version += 1;
  }

  /** Whether time runs as somebody else says. */
  get follows(): boolean {
    return this.followed !== null;
  }

  /** Forgets everything that was queued or played. */
  clear(): void {
    this.queue = [];
    this.instances = [];
  }

  /** The first instance that is still known, or made now; `null` when nothing is queued. */
  first(): Instance | null {
    return this.instances[0] ?? this.make(null);
  }

  /** What comes after an instance; `null` at the end, or when nothing more is queued yet. */
  after(instance: Instance): Instance | null {
    const index = this.instances.indexOf(instance);
    const known = this.instances[index + 1];
    // One that was forgotten is followed by whatever is known now.
    if (known || index < 0) return known ?? null;
    return this.make(instance);
  }

  /** The instance itself while it is still known, else the latest that is, or `null`. */
  known(instance: Instance | null): Instance | null {
    return instance && this.instances.includes(instance) ? instance : (this.instances.at(-1) ?? null);
  }

  /** The tick at which a note of the tune ends that was struck at one tick to end at another, by what is queued. */
  leadEnd(from: number, end: number): number {
    return leadEnd([...this.instances.map(({ segment }) => segment), ...this.queue], from, end);
  }

  /** Forgets instances that ended before `tick`, but never the last. */
  forget(tick: number): void {
    while (this.instances.length > 1 && (this.instances[0] as Instance).endTick < tick)
      this.instances.shift();
  }

  /** All spans that are known, sorted by tick, equal neighbours once. */
  spans(): Span[] {
    if (this.followed) return [...this.followed];
    const all: Span[] = [];
    for (const instance of this.instances) {
      for (const span of instance.spans) {
        const last = all.at(-1);
        if (last && last.tick === span.tick && last.time === span.time && last.msPerTick === span.msPerTick)
          continue;
        if (span.tick < instance.endTick) all.push(span);
      }
    }
    return all;
  }

  /** The time of a tick; after the last span it is carried on. */
  timeOf(tick: number): number {
    const { followed } = this;
    if (followed) return timeAt(followed, tick);
    for (let index = this.instances.length - 1; index >= 0; index -= 1) {
      const instance = this.instances[index] as Instance;
      if (instance.startTick <= tick || index === 0) return timeAt(instance.spans, tick);
    }
    return this.anchor.time;
  }

  private make(before: Instance | null): Instance | null {
    const start = before?.endTick ?? this.anchor.tick;
    const head = this.queue[0];
    if (before && before.segment.onEnd === 'stop' && !head) return null;
    if (head && (before?.segment.onEnd !== 'repeat' || head.startTick <= start)) {
      this.queue.shift();
      return this.place(head, start, head.skip, before);
    }
    if (before && before.segment.onEnd === 'repeat') return this.place(before.segment, start, 0, before);
    return null;
  }

  private place(segment: Segment, startTick: number, skip: number, before: Instance | null): Instance {
    const length = segment.skip + segment.length - skip;
    const anchor = before ? spanAt(before.spans, startTick) : this.anchor;
    const instance: Instance = {
      segment,
      startTick,
      skip,
      endTick: startTick + length,
      spans: spansOf(segment, startTick, skip, length, anchor),
      released: false,
    };
    this.instances.push(instance);
    this.version += 1;
    return instance;
  }
}

function spanAt(spans: readonly Span[], tick: number): Span {
  return spans.findLast((span) => span.tick <= tick) ?? (spans[0] as Span);
}

/** The spans of a segment from its start on. A tempo that does not change carries the span before on, so that nothing accumulates. */
function spansOf(segment: Segment, startTick: number, skip: number, length: number, anchor: Span): Span[] {
  const spans: Span[] = [];
  let span = anchor;
  const { tempoMap } = segment;
  for (let index = 0; index < tempoMap.length; index += 2) {
    const local = tempoMap[index] as number;
    const next = tempoMap[index + 2];
    if (next !== undefined && next <= skip) continue;
    if (local >= skip + length) break;
    const tick = startTick + Math.max(0, local - skip);
    const msPerTick = tempoMap[index + 1] as number;
    if (span.msPerTick !== msPerTick) {
      const time = Number.isNaN(span.msPerTick) ? span.time : span.time + (tick - span.tick) * span.msPerTick;
      span = { tick, time, msPerTick };
    }
    spans.push(span);
  }
  return spans;
}
