import type { PackedEvents } from './event.js';

/**
 * A stretch of the timeline, handed to the player and never changed. It plays the events with ticks from
 * `skip` up to `skip + length` (half open), and those before 0, which are pushes into what comes before it.
 * Transport tick `startTick` is its tick `skip`.
 */
export interface Segment {
  readonly id: number;
  /** The transport tick it starts at; transport ticks only grow. */
  readonly startTick: number;
  readonly skip: number;
  readonly length: number;
  /** Pairs: from this tick of the segment on, milliseconds a tick. The first pair starts at or before `skip`. */
  readonly tempoMap: Float64Array;
  readonly events: PackedEvents;
  /**
   * For gear that follows: ticks from the start of the pass to the segment's tick 0; `null` while it counts in.
   * `jump`: the music was sent here from elsewhere, so gear that follows must be told the new place.
   */
  readonly song: number | null;
  readonly jump: boolean;
  /** What comes at its end: the next in the queue, itself again from its tick 0, or nothing more. */
  readonly onEnd: 'next' | 'repeat' | 'stop';
  /** Time stands still in it until it is released: its tempo map has `heldMsPerTick`, and it has no events. */
  readonly holds?: boolean;
  /**
   * What sounds of the tune from before it ends so many ticks after its start: as long as the same note is held in it, or at once,
   * where the music comes from elsewhere or in another key. As it is when absent.
   */
  readonly cuts?: number;
}

/** The tick at which a note of the tune ends that was struck at `from` to end at `end`, by what is sent: sorted, by its ticks. */
export function leadEnd(
  sent: readonly Pick<Segment, 'startTick' | 'cuts'>[],
  from: number,
  end: number,
): number {
  let ends = end;
  for (const { startTick, cuts } of sent)
    if (cuts !== undefined && startTick > from && startTick < ends) ends = startTick + cuts;
  return ends;
}

/** Milliseconds a tick of a segment lasts in which time stands still: eleven days, so that its ticks are known and never reached. */
export const heldMsPerTick = 1e9;

/** Milliseconds a tick of it lasts once it is released: all of it is over in less than a thousandth of a second. */
export const releasedMsPerTick = 1e-8;

/** The most bars a segment holds. */
export const segmentBars = 64;

/** From transport tick `tick` on, time runs through (`tick`, `time`) at `msPerTick`. */
export interface Span {
  readonly tick: number;
  readonly time: number;
  readonly msPerTick: number;
}

/** The transport tick at a time, by the span that holds then. `spans` are sorted; the first serves what lies before. */
export function tickAt(spans: readonly Span[], time: number): number {
  let span = spans[0];
  for (const one of spans) if (one.time <= time) span = one;
  return span ? span.tick + (time - span.time) / span.msPerTick : 0;
}

/** The time of a transport tick, by the span that holds there. */
export function timeAt(spans: readonly Span[], tick: number): number {
  let span = spans[0];
  for (const one of spans) if (one.tick <= tick) span = one;
  return span ? span.time + (tick - span.tick) * span.msPerTick : 0;
}
