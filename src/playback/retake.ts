import { retake } from '../time/conductor.js';
import { passViewAt } from './pass-view.js';
import { conducted, reachTick, sendJump, sendJumps, takeNow } from './send.js';
import { inTurn, type Played, type Session, unmoved, withPerformance } from './session.js';
import { behind } from './vamp.js';

/**
 * While the music runs: it goes on at its place, or at `bar`, as the setup is now; what was asked for meanwhile still holds.
 * Otherwise nothing is sent.
 */
export function retaken(session: Session, at: number, bar?: number): Played {
  // Going elsewhere drops what was asked for.
  const here = bar === undefined ? session : withPerformance(session, { jump: null, vamp: null });
  const { link, performance } = here;
  const take = performance && takeNow(performance);
  if (link.state !== 'running' || !performance?.conductor || !take) return unmoved(session);
  const { conductor } = performance;
  // What is to begin at a later time is not moved there.
  const tick = Math.max(reachTick(link, at), conductor.sent[0]?.startTick ?? 0);
  // A count that runs was begun by a key, or by chops, which need none.
  const counted = { ...take, countIn: conductor.take.countIn };
  return inTurn(conducted(here, retake(conductor, counted, tick, bar), tick), (now) =>
    jumpsSentAgain(now, at),
  );
}

/** After the music was retaken from a tick on: what was asked for is put into it again. */
function jumpsSentAgain(session: Session, at: number): Played {
  const { performance } = session;
  if (!performance?.conductor) return unmoved(session);
  const { vamp, conductor } = performance;
  if (vamp && vamp.until !== null) {
    const view = passViewAt(performance, vamp.pass);
    if (!view) return unmoved(session);
    return sendJumps(session, conductor, [vamp.until], behind(performance, view, vamp), at);
  }
  return sendJump(session, at);
}
