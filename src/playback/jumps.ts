import { barEnd, type Conductor, positionAt, retake } from '../time/conductor.js';
import { type PassView, passViewAt, sectionStarts, ticksOfBars } from './pass-view.js';
import type { Jump, Performance } from './performance.js';
import { retaken } from './retake.js';
import { conducted, reachTick, sendJump } from './send.js';
import {
  inTurn,
  noticed,
  type Played,
  type Session,
  unmoved,
  withPerformance,
  withSetup,
} from './session.js';
import { type BarRange, takeOf } from './setup.js';
import { isMoving } from './vamp.js';

/** The section that sounds at a transport tick: its bars, half open, the pass it is in, and the tick at which it ends. */
interface SectionAhead {
  readonly view: PassView;
  readonly pass: number;
  readonly from: number;
  readonly to: number;
  readonly end: number;
}

/** `within`: of the section only that which lies in these bars is played, if the music is there. */
function sectionAt(
  performance: Performance,
  conductor: Conductor,
  tick: number,
  within: BarRange | null = null,
): SectionAhead | null {
  const position = positionAt(conductor, tick);
  const pass = performance.vamp?.pass ?? position.pass;
  const view = passViewAt(performance, pass);
  if (!view || position.phase === 'end') return null;
  const starts = sectionStarts(view);
  const loop = within && position.bar >= within.from && position.bar < within.to ? within : null;
  const from = Math.max(starts.findLast((start) => start <= position.bar) ?? 0, loop?.from ?? 0);
  const written = starts.find((start) => start > position.bar) ?? view.bars.length;
  const to = Math.min(written, loop?.to ?? written);
  const counted = conductor.sent.find(
    ({ phase, startTick }) => phase === 'bar' && startTick > tick,
  )?.startTick;
  const end =
    position.phase === 'count-in'
      ? (counted ?? tick) + ticksOfBars(view, position.bar, to)
      : barEnd(conductor, tick) + ticksOfBars(view, position.bar + 1, to);
  return { view, pass, from, to, end };
}

/** Once more through the section that is played, when it ends; asked for again, twice more. */
export function sectionAgain(session: Session, at: number): Played {
  const ready = readyToJump(session);
  if (!ready) return unmoved(session);
  if (ready.performance.vamp) return noticed(session, 'let the chord go first');
  const back = withoutEnding(session);
  const performance = back.performance as Performance;
  const tick = reachTick(session.link, at);
  const section = sectionAt(performance, ready.conductor, tick, performance.setup.range);
  if (!section) return unmoved(session);
  const pending =
    performance.jump?.kind === 'again' ? performance.jump.ticks.filter((one) => one > tick).length : 0;
  const length = ticksOfBars(section.view, section.from, section.to);
  const ticks = Array.from({ length: pending + 1 }, (_, index) => section.end + index * length);
  const jump: Jump = { kind: 'again', ticks, bar: section.from, pass: section.pass };
  const name = section.view.bars[section.from]?.section ?? '';
  const text = `${name} once more${ticks.length > 1 ? `, ${ticks.length} times` : ''}`;
  return inTurn(noticed(withPerformance(back, { jump }), text), (now) => sendJump(now, at));
}

/** To the ending, when the section that is played is over; asked for again, as written. */
export function toEnding(session: Session, at: number): Played {
  const ready = readyToJump(session);
  if (!ready) return unmoved(session);
  const { performance, conductor } = ready;
  if (performance.vamp) return noticed(session, 'let the chord go first');
  if (performance.jump?.kind === 'ending')
    return inTurn(noticed(withoutEnding(session), 'on as written'), (now) => asWritten(now, at));
  const { passes } = performance.setup;
  const section = sectionAt(performance, conductor, reachTick(session.link, at));
  if (!section) return unmoved(session);
  const isFinal = passes !== null && section.pass >= passes;
  const last = sectionStarts(section.view).at(-1) ?? 0;
  if (section.from >= last) {
    // This is the last section: nothing but further passes can be cut.
    const ends = withSetup(withPerformance(session, { jump: null }), { passes: section.pass });
    return inTurn(noticed(ends, 'it ends with this section'), (now) => asWritten(now, at));
  }
  const pass = isFinal ? section.pass : section.pass + 1;
  const final = withSetup(session, { passes: pass });
  const view = passViewAt(final.performance as Performance, pass) ?? section.view;
  const bar = sectionStarts(view).at(-1) ?? 0;
  // An ending outside the loop cannot be reached within it.
  const { range } = performance.setup;
  const ending = range && (bar < range.from || bar >= range.to) ? withSetup(final, { range: null }) : final;
  const jump: Jump = { kind: 'ending', ticks: [section.end], bar, pass, passes };
  const text = `after this section the ending: ${view.bars[bar]?.section ?? ''}`;
  // In a loop, the loop is left at once: the section is played to its end, as its ticks were counted.
  const goesOn = range === ending.performance?.setup.range ? unmoved : (now: Session) => asWritten(now, at);
  return inTurn(noticed(withPerformance(ending, { jump }), text), goesOn, (now) => sendJump(now, at));
}

/** One more pass through all of it. */
export function onePassMore(session: Session, at: number): Played {
  const { performance } = session;
  if (!performance) return unmoved(session);
  if (performance.setup.passes === null) return noticed(session, 'it goes on until you stop it');
  const { jump, setup } = withoutEnding(session).performance as Performance;
  const passes = (setup.passes ?? performance.setup.passes) + 1;
  const more = withSetup(withPerformance(session, { jump }), { passes });
  return inTurn(noticed(more, `one more pass: ${passes} in all`), (now) => retaken(now, at));
}

/** What was asked for is over when its tick has passed. */
export function jumpsPassed(performance: Performance, tick: number): Performance {
  const { jump: asked, vamp: held } = performance;
  const jump = asked && tick >= (asked.ticks.at(-1) ?? 0) ? null : asked;
  const vamp = held && held.until !== null && tick >= held.until ? null : held;
  return jump === asked && vamp === held ? performance : { ...performance, jump, vamp };
}

/** An ending that was asked for holds no more; there are as many passes as there would have been. */
export function withoutEnding(session: Session): Session {
  const jump = session.performance?.jump;
  return jump?.kind === 'ending'
    ? withSetup(withPerformance(session, { jump: null }), { passes: jump.passes })
    : session;
}

function readyToJump(session: Session): { performance: Performance; conductor: Conductor } | null {
  const { performance } = session;
  return performance?.conductor && isMoving(session)
    ? { performance, conductor: performance.conductor }
    : null;
}

/** The music goes on from its place as it is written. */
function asWritten(session: Session, at: number): Played {
  const { performance, link } = session;
  if (!performance?.conductor || !performance.arrangement) return unmoved(session);
  const tick = reachTick(link, at);
  const { conductor, setup, arrangement } = performance;
  // A count that runs may have been begun by chops, which need another.
  const take = { ...takeOf(setup, arrangement), countIn: conductor.take.countIn };
  return conducted(session, retake(conductor, take, tick), tick);
}
