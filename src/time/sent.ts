import type { PackedEvents } from './event.js';
import type { ScoreBar } from './score.js';
import type { ScoreStop } from './stretch.js';

/** A segment that was sent, with what it plays. */
export interface Sent {
  readonly id: number;
  readonly startTick: number;
  readonly skip: number;
  readonly length: number;
  readonly repeats: boolean;
  readonly phase: 'count-in' | 'bar';
  readonly pass: number;
  readonly bars: readonly ScoreBar[];
  readonly firstBar: number;
  /** Bars of music played before it since the take began. */
  readonly before: number;
  /** As in its segment. */
  readonly events: PackedEvents;
  /** What waits in it, where time stands still in it. */
  readonly waits?: ScoreStop['kind'];
  /** As in its segment. */
  readonly cuts?: number;
}
