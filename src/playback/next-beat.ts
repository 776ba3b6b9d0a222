import { positionAt } from '../time/conductor.js';
import { tickAt, timeAt } from '../time/segment.js';
import type { Session } from './session.js';

/**
 * When the beat begins that comes after `looked`, ms; `null` where no music runs. Whoever draws or prints beats counts from
 * what was looked at last, not from now: a beat that has begun meanwhile is not passed over.
 */
export function nextBeatTime({ link, performance }: Session, looked: number): number | null {
  const { spans, state } = link;
  if (state !== 'running' || !performance?.conductor || spans.length === 0) return null;
  const tick = tickAt(spans, looked);
  const first = spans[0]?.tick ?? 0;
  if (tick < first) return timeAt(spans, first);
  return timeAt(spans, tick + positionAt(performance.conductor, tick).ticksLeft);
}
