import { barEnd, positionAt, type TakePlace } from '../time/conductor.js';
import { tickOfBeat } from '../time/stretch.js';
import { type PassView, passViewAt } from './pass-view.js';
import type { Performance, Vamp } from './performance.js';
import { reachTick, sendJumps } from './send.js';
import {
  inTurn,
  noticed,
  type Played,
  type Session,
  unmoved,
  withPerformance,
  withSetup,
} from './session.js';

/** Everybody waits on the chord that sounds; asked for again, the music goes on after it. */
export function holdChord(session: Session, at: number): Played {
  const { link, performance } = session;
  if (!performance || !isMoving(session)) return unmoved(session);
  if (performance.vamp)
    return performance.vamp.until === null
      ? letGo(session, performance, performance.vamp, at)
      : unmoved(session);
  const { conductor, jump, setup } = performance;
  if (!conductor) return unmoved(session);
  const tick = reachTick(link, at);
  const position = positionAt(conductor, tick);
  const view = passViewAt(performance, position.pass);
  const bar = view?.bars[position.bar];
  const placed = view?.score.bars[position.bar];
  if (position.phase !== 'bar' || !view || !bar || !placed)
    return noticed(session, 'a chord can be held only while the music plays');
  const into = placed.length - (barEnd(conductor, tick) - tick);
  const ticksOf = (beat: number): number => tickOfBeat(bar, beat);
  const cell = Math.max(
    0,
    bar.cells.findLastIndex((one) => ticksOf(one.at) <= into),
  );
  const end = ticksOf(bar.cells[cell + 1]?.at ?? bar.beats);
  const from = tick - into + end;
  const vamp: Vamp = {
    bar: position.bar,
    cell,
    pass: position.pass,
    from,
    into: end % placed.length,
    until: null,
  };
  // An ending that was asked for holds no more, nor the number of passes it made.
  const passes = jump?.kind === 'ending' ? jump.passes : setup.passes;
  const held = withSetup(withPerformance(session, { vamp, jump: null }), { passes });
  const place = { pass: vamp.pass, bar: vamp.bar, into: vamp.into };
  return inTurn(noticed(held, ''), (now) => sendJumps(now, conductor, [from], place, at));
}

/** The music goes on after the chord that was held, at the next place where that chord ends. */
function letGo(session: Session, performance: Performance, vamp: Vamp, at: number): Played {
  const { conductor } = performance;
  const view = passViewAt(performance, vamp.pass);
  const length = view?.score.bars[vamp.bar]?.length ?? 0;
  if (!conductor || !view || length === 0) return unmoved(session);
  const rounds = Math.max(0, Math.ceil((reachTick(session.link, at) - vamp.from) / length));
  const until = vamp.from + rounds * length;
  const left = withPerformance(session, { vamp: { ...vamp, until } });
  return inTurn(noticed(left, ''), (now) =>
    sendJumps(now, conductor, [until], behind(performance, view, vamp), at),
  );
}

/** Where the music goes on after a held chord. At the very end the last bar is played once more, as it is written. */
export function behind({ setup: { passes } }: Performance, view: PassView, vamp: Vamp): TakePlace {
  if (vamp.into > 0) return { pass: vamp.pass, bar: vamp.bar, into: vamp.into };
  if (vamp.bar + 1 < view.bars.length) return { pass: vamp.pass, bar: vamp.bar + 1, into: 0 };
  if (passes !== null && vamp.pass >= passes) return { pass: vamp.pass, bar: vamp.bar, into: 0 };
  return { pass: vamp.pass + 1, bar: 0, into: 0 };
}

/** Whether the song runs: not the courses for tuning. */
export function isMoving({ link, performance }: Session): boolean {
  return (
    link.state === 'running' &&
    performance !== null &&
    performance.conductor !== null &&
    performance.arrangement !== null &&
    !performance.tuning
  );
}
