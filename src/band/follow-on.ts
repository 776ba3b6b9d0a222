import type { Performance } from '../playback/performance.js';
import { pause, type Session, withPerformance } from '../playback/session.js';
import { beatMs } from '../playback/setup.js';
import { placeAt } from '../time/conductor.js';
import { type Span, tickAt, timeAt } from '../time/segment.js';
import type { ClockLine } from './clock-line.js';
import {
  asked,
  type Followed,
  type Follower,
  lineReachMs,
  lookTicks,
  moved,
  placed,
  reachMs,
  sendsOf,
  still,
  stillMs,
} from './follower.js';
import { hasPlaces, mirrored } from './form.js';
import type { FormPlace, Now } from './now.js';
import { sameCourse, sameForm } from './same-form.js';
import { apart, leastMs, steered } from './steer.js';
import { carriedOn } from './tempo-steps.js';

/** Our music goes on: its form is the leader's, and it is on the leader's time, or on its way there. */
export function goneOn(
  known: Follower,
  session: Session,
  now: Now,
  clock: ClockLine | null,
  at: number,
): Followed {
  const { performance, link } = session;
  if (!performance?.conductor || link.spans.length === 0) return still(known, session);
  // A stand that led until now has its own time.
  const before = known.played.length > 0 ? known : { ...known, played: link.spans, wanted: link.spans };
  const from = at + link.lead + reachMs;
  const here = tickAt(before.played, from);
  const base = clock ? placed(now.spans, clock, before.shift) : before.base;
  const wanted = carriedOn(base, performance.conductor, here + lookTicks);
  const off = offAt(wanted, here, from);
  // More than a beat off nothing is gained by waiting: the music goes on at the leader's place.
  const jumps = clock !== null && Math.abs(off) > beatMs(performance.setup);
  const shift = jumps ? before.shift + Math.round(here - tickAt(wanted, from)) : before.shift;
  const follower: Follower = {
    ...before,
    shift,
    base: clock ? placed(now.spans, clock, shift) : before.base,
  };
  const formed = withForm(follower, session, now, Math.ceil(here), jumps);
  // Where the music is put elsewhere, time is as well, at the same moment.
  return withLine(formed, jumps ? from : from - reachMs + lineReachMs);
}

/** How late this stand is, ms, when it is at a tick at `from`. */
function offAt(wanted: readonly Span[], tick: number, from: number): number {
  const there = wanted.findLast((one) => one.tick <= tick);
  // Where time stands still on both sides there is nothing to put right; but it may be that the leader has yet to come there.
  if (there && there.msPerTick > stillMs) return Math.min(0, from - there.time);
  return from - timeAt(wanted, tick);
}

/** From now on nobody gives a cue: where time stands still it goes on, in the tempo it had, and it stands still no more. */
export function onItsOwn(follower: Follower, { link }: Session, at: number): Follower {
  const from = at + link.lead + lineReachMs;
  const tick = tickAt(follower.played, from);
  const tempo = follower.played.findLast(
    (one) => one.tick <= tick && one.msPerTick < stillMs && one.msPerTick > 1 / stillMs,
  );
  return tempo ? { ...follower, base: [{ tick, time: from, msPerTick: tempo.msPerTick }] } : follower;
}

/** Without a leader the music goes on by what was known last, as far as its own passes go. */
export function followedAlone(follower: Follower, session: Session, at: number): Followed {
  if (session.link.state !== 'running' || !session.performance?.conductor) return still(follower, session);
  return withLine(still(follower, session), at + session.link.lead + lineReachMs);
}

/** The form is taken over where it is another than ours. */
function withForm(follower: Follower, session: Session, now: Now, tick: number, jumps: boolean): Followed {
  const { performance } = session;
  if (!performance?.conductor || (follower.taken === now && !jumps)) return still(follower, session);
  const wants = { ...performance, ...asked(now, follower.shift) };
  const places = moved(now.places, follower.shift);
  if (!hasPlaces(wants, places)) return still(follower, session);
  const taken = { ...follower, taken: now };
  const same = !jumps && isPlayed(performance, wants, places, tick);
  const made = same ? null : mirrored(wants, places, tick);
  if (!made) return still(taken, withPerformance(session, asked(now, follower.shift)));
  if (!placeAt(made.conductor, tick)) return { ...pause(session), follower: taken };
  return {
    session: withPerformance(session, {
      ...asked(now, follower.shift),
      conductor: made.conductor,
      passBegan: null,
    }),
    commands: sendsOf(made),
    events: [],
    follower: taken,
  };
}

/** Whether our conductor plays this form already. */
function isPlayed(
  { conductor }: Performance,
  wants: Performance,
  places: readonly FormPlace[],
  tick: number,
): boolean {
  const made = conductor && mirrored(withoutNotes(wants), places, tick);
  return (
    conductor !== null &&
    made !== null &&
    sameCourse(conductor.take, made.conductor.take) &&
    sameForm(conductor, made.conductor, tick)
  );
}

/** A performance whose arrangement has its bars and no notes: to see where it would go. */
function withoutNotes(performance: Performance): Performance {
  const { arrangement } = performance;
  if (!arrangement) return performance;
  const bare = ({ bars, length }: typeof arrangement.score) => ({ bars, length, notes: [] });
  const final = arrangement.final && { ...arrangement.final, score: bare(arrangement.final.score) };
  return { ...performance, arrangement: { ...arrangement, score: bare(arrangement.score), final } };
}

/** The line is put right where it leads elsewhere than it should. */
function withLine(formed: Followed, from: number): Followed {
  const { session, follower } = formed;
  const conductor = session.performance?.conductor;
  if (!conductor || follower.base.length === 0) return formed;
  const tick = tickAt(follower.played, from);
  const to = tick + lookTicks;
  const wanted = carriedOn(follower.base, conductor, to);
  if (apart(wanted, follower.wanted, tick, to, from + 1e6) < leastMs) return formed;
  const played = steered(follower.played, wanted, from);
  return {
    ...formed,
    commands: [...formed.commands, { kind: 'tell', message: { kind: 'line', spans: played } }],
    follower: { ...follower, played, wanted },
  };
}
