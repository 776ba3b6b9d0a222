import { heldSegment } from '../time/conductor.js';
import { tickAt } from '../time/segment.js';
import type { Played, Session } from './session.js';
import { isMoving } from './vamp.js';

/**
 * Releases the chord that is held, or gives the cue after a stop of the band: time goes on at once, after it. `null` where
 * nothing waits, or where an external clock has the time.
 */
export function released(session: Session, at: number): Played | null {
  const { link, performance } = session;
  if (!performance?.conductor || !isMoving(session) || link.following.label !== null) return null;
  const id = heldSegment(performance.conductor, tickAt(link.spans, at));
  if (id === null) return null;
  return { session, commands: [{ kind: 'tell', message: { kind: 'release', id } }], events: [] };
}
