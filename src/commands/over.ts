import { type Band, leaderId } from '../band/band.js';
import type { Session } from '../playback/session.js';

/** How long a stand that plays nothing waits for a network that has gone, ms. */
export const lostMs = 60_000;

/** Why waiting is over: the leader has taken leave, the pass was played to its end alone, or the network is gone for good. */
export type Over = 'left' | 'alone' | 'lost';

/** Whether somebody else leads. */
export function isLed(band: Band): boolean {
  const leader = leaderId(band);
  return leader !== null && leader !== band.id;
}

/** Whether a stand that follows is done; `null` while it is not, and for one that led last. A song that still plays is always played on. */
export function overFor(band: Band, { link }: Session, at: number): Over | null {
  const best = band.claims?.best ?? null;
  if (link.state === 'running' || band.id === null || best?.id === band.id) return null;
  if (best !== null && leaderId(band) === null && band.left.has(best.id)) return 'left';
  if (band.alone) return 'alone';
  return !band.up && at - band.downAt >= lostMs ? 'lost' : null;
}
