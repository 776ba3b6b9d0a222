import {
  type Conducted,
  type Conductor,
  positionAt,
  retake,
  retakeAt,
  sendAhead,
  sentTo,
  type Take,
  type TakePlace,
} from '../time/conductor.js';
import { type Segment, tickAt } from '../time/segment.js';
import { vampScore } from '../time/vamp.js';
import { passViewAt } from './pass-view.js';
import type { Performance } from './performance.js';
import { type Command, type Link, type Played, type Session, unmoved, withPerformance } from './session.js';
import { arrangeOptions, takeOf } from './setup.js';

/** From now until a change of what is played can be in force, beyond the output's lead: the way to the player, ms. */
const reachMs = 25;

/** The first tick that a change sent at `at` is sure to reach in time. */
export function reachTick({ spans, lead }: Link, at: number): number {
  return Math.ceil(tickAt(spans, at + lead + reachMs));
}

/** What a conductor answered is what the session plays: from `tick` on its segments. */
export function conducted(session: Session, { conductor, segments }: Conducted, tick: number): Played {
  return {
    session: withPerformance(session, { conductor }),
    commands: [{ kind: 'replace', tick, segments }],
    events: [],
  };
}

/** What to play now: while everybody waits on a chord, its bar with it alone, without end. */
export function takeNow(performance: Performance): Take | null {
  const { arrangement, setup, vamp } = performance;
  if (!arrangement) return null;
  const take = takeOf(setup, arrangement);
  const view = vamp && passViewAt(performance, vamp.pass);
  if (!vamp || !view || vamp.until !== null) return take;
  const { finalScore: _, ramp: __, holds: ___, ...plain } = take;
  return {
    ...plain,
    score: vampScore(setup.chart, view, vamp, arrangeOptions(setup)),
    range: { from: vamp.bar, to: vamp.bar + 1 },
    passes: null,
  };
}

/** At each of these ticks the music jumps to a place; up to there it is as it was. */
export function sendJumps(
  session: Session,
  conductor: Conductor,
  ticks: readonly number[],
  place: TakePlace,
  at: number,
): Played {
  const take = session.performance && takeNow(session.performance);
  if (!take) return unmoved(session);
  const reach = Math.max(0, reachTick(session.link, at));
  const to = place.into === 0 && !isHeld(session) ? place.bar : null;
  const leaving = leftAt(conductor, ticks[0] ?? 0, reach, to);
  const commands: Command[] = [...leaving.commands];
  let current = leaving.conductor;
  for (const [index, tick] of ticks.entries()) {
    const reached = sentTo(current, tick);
    commands.push(...appending(reached.segments));
    const isLast = index === ticks.length - 1;
    const next =
      isLast || leaving.bar === null ? take : leftFor(take, leaving.bar, ticks[index + 1] as number, to);
    const jumped = retakeAt(reached.conductor, next, tick, place);
    commands.push({ kind: 'replace', tick, segments: jumped.segments });
    current = jumped.conductor;
  }
  const fed = sendAhead(current, reach);
  return {
    session: withPerformance(session, { conductor: fed.conductor }),
    commands: [...commands, ...appending(fed.segments)],
    events: [],
  };
}

function isHeld({ performance }: Session): boolean {
  return performance?.vamp != null && performance.vamp.until === null;
}

/** A take that is left after a bar, at a tick, for another bar or for a place within one (`null`). */
function leftFor(take: Take, leaves: number, tick: number, bar: number | null): Take {
  return { ...take, leaves, leavesFor: { tick, bar } };
}

/** What is played up to a jump, and the bar that is left by it where its bass or its tune would have led elsewhere. */
interface Leaving {
  readonly conductor: Conductor;
  readonly commands: readonly Command[];
  readonly bar: number | null;
}

/** Up to the tick of a jump all is as it was, but that bass and tune of the bar before it do not lead to what would have come. */
function leftAt(conductor: Conductor, tick: number, reach: number, to: number | null): Leaving {
  const { conductor: ready, segments } = sentTo(conductor, tick);
  const { phase, bar } = positionAt(ready, tick - 1);
  const { score, finalScore } = ready.take;
  const leads = [score, finalScore].some((one) => one?.elsewhere?.[bar] || one?.lead);
  const commands = appending(segments);
  if (phase !== 'bar' || !leads || tick <= reach) return { conductor: ready, commands, bar: null };
  const quiet = retake(ready, leftFor(ready.take, bar, tick, to), reach);
  return {
    conductor: quiet.conductor,
    commands: [...commands, { kind: 'replace', tick: reach, segments: quiet.segments }],
    bar,
  };
}

/** The jump that was asked for is put into what is sent, where its ticks can still be reached. */
export function sendJump(session: Session, at: number): Played {
  const { jump, conductor } = session.performance ?? {};
  if (!jump || !conductor) return unmoved(session);
  const reach = reachTick(session.link, at);
  const ticks = jump.ticks.filter((tick) => tick >= reach);
  if (ticks.length === 0) return unmoved(session);
  return sendJumps(session, conductor, ticks, { pass: jump.pass, bar: jump.bar, into: 0 }, at);
}

/** The command that appends segments, where there are any. */
export function appending(segments: readonly Segment[]): Command[] {
  return segments.length > 0 ? [{ kind: 'append', segments }] : [];
}
