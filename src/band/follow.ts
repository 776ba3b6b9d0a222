import type { Performance } from '../playback/performance.js';
import { pause, type Session, withPerformance } from '../playback/session.js';
import { placeAt } from '../time/conductor.js';
import { tickAt } from '../time/segment.js';
import { programMessages } from '../time/sound.js';
import { ticksPerQuarter } from '../time/units.js';
import type { ClockLine } from './clock-line.js';
import { goneOn } from './follow-on.js';
import {
  asked,
  type Followed,
  type Follower,
  firstFollower,
  lookTicks,
  moved,
  placed,
  sendsOf,
  still,
  stillMs,
} from './follower.js';
import { mirrored } from './form.js';
import type { Now } from './now.js';
import { asShared } from './shared-setup.js';
import { carriedOn } from './tempo-steps.js';

/** From now until the first tick, beyond the output's lead: time to fill the way to the player, ms. */
const readyMs = 55;
/** The player says that it runs within this long, ms, or it is told again. */
const startedMs = 1500;

/** The session is set up as the leader's. The chart on it must be the leader's song already. */
export function setUpAs(session: Session, now: Now): Session {
  const { performance } = session;
  if (!performance) return session;
  const bars = performance.arrangement?.bars.length ?? Number.POSITIVE_INFINITY;
  // A loop that our arrangement does not have is none, as when an arrangement comes.
  const range = now.setup.range && now.setup.range.to > bars ? null : now.setup.range;
  const setup = asShared(performance.setup, { ...now.setup, range });
  return setup === performance.setup ? session : withPerformance(session, { setup });
}

/**
 * Makes a session play what the leader plays. To be called with each message and each look at the clock, after `setUpAs`; `clock` is
 * the leader's clock as it is known, `null` while it is not: then what plays goes on by what was known last.
 */
export function followed(
  follower: Follower,
  session: Session,
  now: Now,
  clock: ClockLine | null,
  at: number,
): Followed {
  const { performance, link } = session;
  if (!performance) return still(follower, session);
  if (now.state !== 'running') return halted(follower, session, now, at);
  const running = link.state === 'running' && follower.take === now.take && performance.conductor !== null;
  if (running) return goneOn(follower, session, now, clock, at);
  const waits = follower.sentAt !== null && follower.take === now.take && at - follower.sentAt < startedMs;
  if (waits || !performance.arrangement || link.output === null || !clock) return still(follower, session);
  if (link.state === 'running') return { ...pause(session), follower: firstFollower };
  return begun(follower, session, now, clock, at);
}

/** The leader's music stands: ours does too, and its cursor where the leader's is. */
function halted(follower: Follower, session: Session, now: Now, at: number): Followed {
  const { performance, link } = session;
  if (!performance) return still(follower, session);
  // Music whose beginning was on its way to the player when the leader's was paused begins none the less, and is paused then.
  if (link.state === 'running' && follower.take === null && !performance.tuning)
    return { ...pause(session), follower };
  if (link.state === 'running' && follower.take !== null) {
    // A song that has come to its end rings out by itself, here as there.
    const { conductor } = performance;
    const end = conductor?.next === null ? (conductor.sent.at(-1) ?? null) : null;
    const ends = end && !end.repeats ? end.startTick + end.length : Number.POSITIVE_INFINITY;
    const left = ends - tickAt(follower.played, at);
    if (now.state === 'stopped' && left < ticksPerQuarter) return still(follower, session);
    return { ...pause(session), follower: { ...follower, sentAt: null } };
  }
  if (follower.taken === now) return still(follower, session);
  const cursor = { ...performance.cursor, bar: now.cursor.bar, pass: now.cursor.pass };
  const there = link.state === 'running' ? session : withPerformance(session, { cursor });
  return still({ ...firstFollower, taken: now }, there);
}

/**
 * The band's tick at which the leader's music is at a time (ms): by the spans that were told, and where the chart has changed tempo or
 * stopped since then, by the chart. Where time stands still it is the tick that waits, never the one after it, which is not reached.
 */
function leadersTick(performance: Performance, now: Now, clock: ClockLine, at: number): number {
  const told = placed(now.spans, clock, 0);
  const from = now.places[0]?.tick ?? 0;
  const form = mirrored({ ...performance, ...asked(now, 0) }, now.places, from);
  const spans = form ? carriedOn(told, form.conductor, from + lookTicks) : told;
  const tick = tickAt(spans, at);
  const span = spans.findLast((one) => one.time <= at);
  return span && span.msPerTick > stillMs ? Math.floor(tick) : Math.ceil(tick);
}

/** Our music begins, at the leader's place. */
function begun(follower: Follower, session: Session, now: Now, clock: ClockLine, at: number): Followed {
  const { performance, link } = session;
  const [first] = now.places;
  if (!performance || !first) return still(follower, session);
  const from = at + link.lead + readyMs;
  const there = Math.max(first.tick, leadersTick(performance, now, clock, from));
  const shift = link.freeTick - there;
  const wants = { ...performance, ...asked(now, shift) };
  const made = mirrored(wants, moved(now.places, shift), link.freeTick);
  if (!made || !placeAt(made.conductor, link.freeTick)) return still(follower, session);
  const base = placed(now.spans, clock, shift);
  const line = carriedOn(base, made.conductor, link.freeTick + lookTicks);
  const { setup, cursor } = performance;
  return {
    session: withPerformance(session, {
      ...asked(now, shift),
      conductor: made.conductor,
      cursor: { ...cursor, pass: first.pass, beat: null, counting: first.counting },
      eager: false,
      tuning: false,
      begun: true,
      passBegan: null,
    }),
    commands: [
      { kind: 'tell', message: { kind: 'send', messages: programMessages(setup.sound) } },
      ...sendsOf(made),
      { kind: 'tell', message: { kind: 'line', spans: line } },
      { kind: 'tell', message: { kind: 'play', tick: link.freeTick } },
    ],
    events: [{ kind: 'play-sent' }],
    follower: { take: now.take, shift, base, played: line, wanted: line, taken: now, sentAt: at },
  };
}
