import type { Jump, Performance, Vamp } from '../playback/performance.js';
import {
  type Command,
  type Played,
  pause,
  type Session,
  unmoved,
  withPerformance,
} from '../playback/session.js';
import { beatMs } from '../playback/setup.js';
import { placeAt } from '../time/conductor.js';
import { type Span, tickAt, timeAt } from '../time/segment.js';
import { programMessages } from '../time/sound.js';
import { ticksPerQuarter } from '../time/units.js';
import { type ClockLine, ownTime } from './clock-line.js';
import { hasPlaces, type Mirrored, mirrored } from './form.js';
import type { FormPlace, Now } from './now.js';
import { sameCourse, sameForm } from './same-form.js';
import { asShared } from './shared-setup.js';
import { apart, leastMs, steered } from './steer.js';
import { carriedOn } from './tempo-steps.js';

/** How a stand follows: what it plays by, all on its own clock and in its own player's ticks. */
export interface Follower {
  /** The take that is followed; `null` while none is. */
  readonly take: string | null;
  /** Own ticks are the band's and so many. */
  readonly shift: number;
  /** The leader's spans as they were understood last; what is played; and what is to be reached by it. */
  readonly base: readonly Span[];
  readonly played: readonly Span[];
  readonly wanted: readonly Span[];
  /** The message whose form was taken over last. */
  readonly taken: Now | null;
  /** When play was sent, ms; `null` before. The player says later that it runs. */
  readonly sentAt: number | null;
}

/** A stand that follows nothing yet. */
export const firstFollower: Follower = {
  take: null,
  shift: 0,
  base: [],
  played: [],
  wanted: [],
  taken: null,
  sentAt: null,
};

/** From now until other music is in force, beyond the output's lead: the way to the player, ms; and until time runs otherwise. */
const reachMs = 25;
const lineReachMs = 10;
/** From now until the first tick, beyond the output's lead: time to fill the way to the player, ms. */
const readyMs = 55;
/** So far ahead the line is made ready and compared. */
const lookTicks = 64 * ticksPerQuarter;
/** The player says that it runs within so long, ms, or it is told again. */
const startedMs = 1500;
/** A tick that lasts longer is one of time that stands still, ms. */
const stillMs = 1e6;

/** A step of following. */
export interface Followed extends Played {
  readonly follower: Follower;
}

const still = (follower: Follower, session: Session): Followed => ({ ...unmoved(session), follower });

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

/** The leader's spans on our clock and in our ticks. */
function placed(spans: readonly Span[], clock: ClockLine, shift: number): readonly Span[] {
  return spans.map(({ tick, time, msPerTick }) => ({
    tick: tick + shift,
    time: ownTime(clock, time),
    // Where time stands still, or a stop is passed over, no clock's rate makes a difference.
    msPerTick: msPerTick > stillMs || msPerTick < 1 / stillMs ? msPerTick : msPerTick / (1 + clock.drift),
  }));
}

const moved = (places: readonly FormPlace[], shift: number): readonly FormPlace[] =>
  places.map((place) => ({ ...place, tick: place.tick + shift }));

/** What was asked for of the form, in our ticks. */
function asked({ jump, vamp }: Now, shift: number): { jump: Jump | null; vamp: Vamp | null } {
  const ticks = jump?.ticks.map((tick) => tick + shift) ?? [];
  return {
    jump:
      jump === null
        ? null
        : jump.kind === 'again'
          ? { kind: 'again', ticks, bar: jump.bar, pass: jump.pass }
          : { kind: 'ending', ticks, bar: jump.bar, pass: jump.pass, passes: jump.passes },
    vamp: vamp && {
      ...vamp,
      from: vamp.from + shift,
      until: vamp.until === null ? null : vamp.until + shift,
    },
  };
}

/** The leader's music stands: ours does too, and its cursor where the leader's is. */
function halted(follower: Follower, session: Session, now: Now, at: number): Followed {
  const { performance, link } = session;
  if (!performance) return still(follower, session);
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

/** Our music begins, at the leader's place. */
function begun(follower: Follower, session: Session, now: Now, clock: ClockLine, at: number): Followed {
  const { performance, link } = session;
  const [first] = now.places;
  if (!performance || !first) return still(follower, session);
  const from = at + link.lead + readyMs;
  const there = Math.max(first.tick, Math.ceil(tickAt(placed(now.spans, clock, 0), from)));
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

function sendsOf({ sends }: Mirrored): Command[] {
  return sends.map(({ kind, tick, segments }) =>
    kind === 'append' ? { kind, segments } : { kind, tick, segments },
  );
}

/** Our music goes on: its form is the leader's, and it is on the leader's time, or on its way there. */
function goneOn(known: Follower, session: Session, now: Now, clock: ClockLine | null, at: number): Followed {
  const { performance, link } = session;
  if (!performance?.conductor || link.spans.length === 0) return still(known, session);
  // Who led until now has its own time.
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

/** How late we are, ms, who are at a tick at `from`. */
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
