import type { Branded } from '../base/brand.js';

/** Musical time: whole ticks, 960 a quarter. */
export type Ticks = Branded<'Ticks'>;

/** Time on the monotonic clock that all processes of a machine share, as a double. */
export type Milliseconds = Branded<'Milliseconds'>;

/** Ticks in a quarter. */
export const ticksPerQuarter = 960;

/** Rounds to whole ticks. */
export function ticks(value: number): Ticks {
  return Math.round(value) as Ticks;
}

/** Marks a double as milliseconds. */
export function milliseconds(value: number): Milliseconds {
  return value as Milliseconds;
}

/** Milliseconds a tick lasts at a tempo in quarters a minute. */
export function millisecondsPerTick(quartersPerMinute: number): number {
  return 60_000 / (quartersPerMinute * ticksPerQuarter);
}
